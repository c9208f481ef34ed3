#include "core/recording/text_rows.h"

#include <algorithm>
#include <array>
#include <cstring>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t blockBytes = 64;
constexpr std::size_t longestQuoted = 16 * 1024;

#if defined(__SSE2__)
std::uint64_t marksOf(const char* bytes, char first, char second) {
    const __m128i a = _mm_set1_epi8(first), b = _mm_set1_epi8(second), quote = _mm_set1_epi8('"'),
                  feed = _mm_set1_epi8('\n'), carriage = _mm_set1_epi8('\r');
    std::uint64_t marks = 0;
    for (int part = 0; part < 4; ++part) {
        const __m128i v = _mm_loadu_si128(reinterpret_cast<const __m128i*>(bytes + 16 * part));
        const __m128i ends = _mm_or_si128(_mm_cmpeq_epi8(v, feed), _mm_cmpeq_epi8(v, carriage));
        const __m128i parts = _mm_or_si128(_mm_cmpeq_epi8(v, a), _mm_cmpeq_epi8(v, b));
        const __m128i all = _mm_or_si128(_mm_or_si128(ends, parts), _mm_cmpeq_epi8(v, quote));
        marks |= static_cast<std::uint64_t>(static_cast<unsigned>(_mm_movemask_epi8(all))) << (16 * part);
    }
    return marks;
}
#else
std::uint64_t marksOf(const char* bytes, char first, char second) {
    std::uint64_t marks = 0;
    for (std::size_t i = 0; i < blockBytes; ++i) {
        const char c = bytes[i];
        const bool isMark = c == first || c == second || c == '"' || c == '\n' || c == '\r';
        marks |= static_cast<std::uint64_t>(isMark) << i;
    }
    return marks;
}
#endif

bool isLineEnd(char character) {
    return character == '\n' || character == '\r';
}

}  // namespace

RowScanner::RowScanner(std::string_view text, Separator separator, std::size_t keptFields, std::size_t begin,
                       std::size_t line)
    : text_(text),
      separator_(separator),
      keptFields_(keptFields),
      at_(std::min(begin, text.size())),
      line_(line) {
    seek(at_);
}

std::uint64_t RowScanner::marksOfBlock(std::size_t block) const {
    const char second = separator_.isBlanks ? '\t' : separator_.mark;
    if (block + blockBytes <= text_.size()) return marksOf(text_.data() + block, separator_.mark, second);
    std::array<char, blockBytes> tail{};
    const std::size_t count = block < text_.size() ? text_.size() - block : 0;
    if (count == 0) return 0;
    std::memcpy(tail.data(), text_.data() + block, count);
    return marksOf(tail.data(), separator_.mark, second) & (~std::uint64_t{0} >> (blockBytes - count));
}

/// Passes the next mark and returns its offset; the text's size where none is left.
inline std::size_t RowScanner::nextMark() {
    while (marks_ == 0) {
        block_ += blockBytes;
        if (block_ >= text_.size()) return text_.size();
        marks_ = marksOfBlock(block_);
    }
    const auto bit = static_cast<std::size_t>(std::countr_zero(marks_));
    marks_ &= marks_ - 1;
    return block_ + bit;
}

void RowScanner::seek(std::size_t offset) {
    block_ = offset / blockBytes * blockBytes;
    marks_ = marksOfBlock(block_) & (~std::uint64_t{0} << (offset % blockBytes));
}

inline void RowScanner::keep(Row& row, std::size_t begin, std::size_t end) const {
    if (separator_.isBlanks && begin == end) return;
    ++row.fieldCount;
    if (row.fields.size() < keptFields_) row.fields.push_back(trimmed(text_.substr(begin, end - begin)));
}

/// Offset of the quote that closes the one at `open`; npos where none does within reach.
std::size_t RowScanner::closingQuote(std::size_t open) {
    const std::size_t reach = std::min(text_.size(), open + 1 + longestQuoted);
    std::size_t at = open + 1;
    while (at < reach) {
        const void* found = std::memchr(text_.data() + at, '"', reach - at);
        if (found == nullptr) break;
        at = static_cast<std::size_t>(static_cast<const char*>(found) - text_.data());
        if (at + 1 >= text_.size() || text_[at + 1] != '"') return at;
        at += 2;
    }
    return std::string_view::npos;
}

std::size_t RowScanner::takeQuotedField(Row& row, std::size_t open) {
    const std::size_t close = closingQuote(open);
    if (close == std::string_view::npos) {
        if (!unclosedQuoteLine_) unclosedQuoteLine_ = line_;
        return std::string_view::npos;
    }
    const std::string_view inside = text_.substr(open + 1, close - open - 1);
    for (std::size_t i = 0; i < inside.size(); ++i)
        if (inside[i] == '\n' || (inside[i] == '\r' && (i + 1 == inside.size() || inside[i + 1] != '\n')))
            ++line_;
    ++row.fieldCount;
    if (row.fields.size() < keptFields_) row.fields.push_back(trimmed(inside));
    seek(close + 1);
    std::size_t mark = nextMark();
    while (mark < text_.size() && text_[mark] == '"')
        mark = nextMark();
    return mark;
}

inline std::size_t RowScanner::takeField(Row& row) {
    std::size_t mark = nextMark();
    if (mark < text_.size() && text_[mark] == '"') [[unlikely]] {
        if (trimmed(text_.substr(at_, mark - at_)).empty()) {
            const std::size_t behind = takeQuotedField(row, mark);
            if (behind != std::string_view::npos) return behind;
        }
        while (mark < text_.size() && text_[mark] == '"')
            mark = nextMark();
    }
    keep(row, at_, mark);
    return mark;
}

void RowScanner::passLineEnd(std::size_t mark) {
    at_ = mark + 1;
    if (text_[mark] == '\r' && at_ < text_.size() && text_[at_] == '\n') {
        ++at_;
        // The mark of the line feed is the next one: pass it too.
        static_cast<void>(nextMark());
    }
    ++line_;
}

bool RowScanner::next(Row& row) {
    while (at_ < text_.size()) {
        row.fields.clear();
        row.fieldCount = 0;
        row.line = line_;
        row.begin = at_;
        std::size_t mark = takeField(row);
        while (mark < text_.size() && !isLineEnd(text_[mark])) {
            at_ = mark + 1;
            mark = takeField(row);
        }
        row.end = mark;
        if (mark < text_.size())
            passLineEnd(mark);
        else
            at_ = text_.size();
        const bool isEmpty =
            row.fieldCount == 0 || (row.fieldCount == 1 && !row.fields.empty() && row.fields[0].empty());
        if (!isEmpty) return true;
    }
    return false;
}

}  // namespace beatwitness::recording::text
