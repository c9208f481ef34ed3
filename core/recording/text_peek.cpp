#include "core/recording/text_peek.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/text.h"
#include "core/recording/archive.h"
#include "core/recording/fit_recording.h"
#include "core/recording/json_recording.h"
#include "core/recording/text_dialect.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_recording.h"
#include "core/recording/xml_recording.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t mostBytes = std::size_t{256} << 10;
constexpr std::size_t mostRows = 8;
constexpr std::size_t mostColumns = 40;

bool isOfOtherKind(std::span<const std::byte> bytes) {
    return looksLikeFit(bytes) || looksLikeArchive(bytes) || looksLikeXml(bytes) || looksLikeJson(bytes) ||
           !looksLikeText(bytes);
}

}  // namespace

std::optional<TextPeek> peekText(std::span<const std::byte> bytes, std::optional<char> separator) {
    if (bytes.empty() || isOfOtherKind(bytes)) return std::nullopt;
    const auto decoded = text::decodeText(bytes.first(std::min(bytes.size(), mostBytes)));
    const auto dialect = text::sniffDialect(decoded.view(), separator);
    if (dialect.columns == 0) return std::nullopt;
    TextPeek peek;
    peek.separator = text::separatorName(dialect.separator);
    const std::size_t columns = std::min(dialect.columns, mostColumns);
    for (std::size_t i = 0; i < columns; ++i)
        peek.columns.push_back(i < dialect.header.size() && !dialect.header[i].empty()
                                   ? printable(dialect.header[i])
                                   : fmt::format("column {}", i + 1));
    for (std::size_t r = 0; r < std::min(dialect.sample.size(), mostRows); ++r) {
        std::vector<std::string> cells;
        for (std::size_t i = 0; i < columns; ++i)
            cells.push_back(printable(dialect.sample[r].field(i)));
        peek.rows.push_back(std::move(cells));
    }
    return peek;
}

}  // namespace beatwitness::recording
