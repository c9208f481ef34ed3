#include "core/recording/fit_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/fit_checksum.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t shortHeader = 12;
constexpr std::size_t longHeader = 14;
constexpr std::size_t markOffset = 8;
constexpr std::size_t checksumBytes = 2;
constexpr std::string_view mark = ".FIT";

struct Header {
    std::size_t size = 0;
    std::uint64_t dataBytes = 0;
};

class Walker {
public:
    Walker(std::span<const std::byte> file, FitSink& sink, const RunControl& run)
        : file_(file), sink_(sink), run_(run) {}

    FitWalk walk() {
        for (std::optional<std::size_t> at = 0; at && *at < file_.size() && !walk_.cancelled;)
            at = walkPart(*at);
        return std::move(walk_);
    }

private:
    /// Where the next part must begin; nothing where there is none to look for.
    std::optional<std::size_t> walkPart(std::size_t at);
    std::optional<Header> readHeader(std::size_t at);
    void checkHeader(std::size_t at);
    std::optional<std::size_t> afterDamage(const FitStop& stop, std::uint64_t dataEnd);
    std::optional<std::size_t> endShortOfData(const FitStop& stop, std::size_t at, std::uint64_t dataEnd);
    std::optional<std::size_t> endOfPart(FitDecoder& decoder, const FitStop& stop, std::size_t at,
                                         std::size_t dataEnd);
    std::optional<std::size_t> beyondData(FitDecoder& decoder, const FitStop& stop, std::size_t at,
                                          std::size_t dataEnd);
    FitStop decode(FitDecoder& decoder, std::size_t begin, std::size_t end);

    template <class T>
    [[nodiscard]] T little(std::size_t at) const {
        return fit_detail::load<T>(&file_[at], false);
    }
    void damaged(std::uint64_t byte, std::string what) { walk_.damage.push_back({byte, std::move(what)}); }

    std::span<const std::byte> file_;
    FitSink& sink_;
    const RunControl& run_;
    FitWalk walk_;
};

std::string shown(std::span<const std::byte> bytes) {
    return printable({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

std::optional<Header> Walker::readHeader(std::size_t at) {
    const std::size_t left = file_.size() - at;
    const char* const which = at == 0 ? "" : " of a further part";
    if (left < shortHeader) {
        damaged(at, fmt::format(
                        "expected a header{} of 12 or 14 bytes, found {} bytes before the end of the file",
                        which, left));
        return std::nullopt;
    }
    if (!fitMarkAt(file_, at)) {
        damaged(at + markOffset, fmt::format("expected the mark \".FIT\" in the header{}, found \"{}\"",
                                             which, shown(file_.subspan(at + markOffset, mark.size()))));
        return std::nullopt;
    }
    const Header header{std::to_integer<std::size_t>(file_[at]), little<std::uint32_t>(at + 4)};
    if (header.size < shortHeader || header.size > left) {
        damaged(at, fmt::format("expected a header size of 12 or 14, found {}", header.size));
        return std::nullopt;
    }
    if (header.size >= longHeader) checkHeader(at);
    return header;
}

void Walker::checkHeader(std::size_t at) {
    const auto stored = little<std::uint16_t>(at + shortHeader);
    const auto computed = fitChecksum(file_.subspan(at, shortHeader));
    if (stored != 0 && stored != computed)
        damaged(at + shortHeader,
                fmt::format("expected the header's checksum {:#06x}, found {:#06x}", computed, stored));
}

FitStop Walker::decode(FitDecoder& decoder, std::size_t begin, std::size_t end) {
    const std::size_t before = decoder.dataMessages();
    const FitStop stop = decoder.decode(begin, end);
    walk_.dataMessages += decoder.dataMessages() - before;
    walk_.cancelled = stop.reason == FitStop::Reason::Cancelled;
    return stop;
}

std::optional<std::size_t> Walker::walkPart(std::size_t at) {
    const auto header = readHeader(at);
    if (!header) return std::nullopt;
    const std::uint64_t dataEnd = at + header->size + header->dataBytes;
    sink_.beginPart();
    FitDecoder decoder{file_, sink_, run_};
    const FitStop stop = decode(decoder, at + header->size, std::min<std::uint64_t>(dataEnd, file_.size()));
    if (walk_.cancelled) return std::nullopt;
    if (stop.reason == FitStop::Reason::Undefined) return afterDamage(stop, dataEnd);
    if (dataEnd > file_.size()) return endShortOfData(stop, at, dataEnd);
    return endOfPart(decoder, stop, at, dataEnd);
}

std::optional<std::size_t> Walker::afterDamage(const FitStop& stop, std::uint64_t dataEnd) {
    const bool checksumAtEnd = dataEnd > file_.size() && file_.size() - stop.byte == checksumBytes;
    damaged(stop.byte,
            checksumAtEnd
                ? fmt::format("expected data up to byte {}, found the end of the file", dataEnd)
                : fmt::format("expected a definition of local message {} before its data", stop.localType));
    if (dataEnd < file_.size() && fitMarkAt(file_, dataEnd + checksumBytes)) return dataEnd + checksumBytes;
    if (fitMarkAt(file_, stop.byte + checksumBytes)) return stop.byte + checksumBytes;
    return std::nullopt;
}

std::optional<std::size_t> Walker::endShortOfData(const FitStop& stop, std::size_t at,
                                                  std::uint64_t dataEnd) {
    if (stop.reason == FitStop::Reason::CutShort)
        damaged(file_.size(),
                fmt::format("expected the rest of the message at byte {} and data up to byte {}, found "
                            "the end of the file",
                            stop.byte, dataEnd));
    else
        damaged(file_.size(),
                fmt::format("expected data up to byte {} as the header at byte {} says, found the end "
                            "of the file",
                            dataEnd, at));
    return std::nullopt;
}

std::optional<std::size_t> Walker::endOfPart(FitDecoder& decoder, const FitStop& stop, std::size_t at,
                                             std::size_t dataEnd) {
    const bool cutShort = stop.reason == FitStop::Reason::CutShort;
    const std::size_t next = dataEnd + checksumBytes;
    if (next > file_.size()) {
        damaged(dataEnd, "expected a checksum of 2 bytes, found the end of the file");
        return std::nullopt;
    }
    const auto stored = little<std::uint16_t>(dataEnd);
    const auto computed = fitChecksum(file_.subspan(at, dataEnd - at));
    if (stored != computed && next < file_.size() && !fitMarkAt(file_, next))
        return beyondData(decoder, stop, at, dataEnd);
    if (cutShort)
        damaged(stop.byte,
                fmt::format("expected a message that ends by byte {}, where the data end, found a longer one",
                            dataEnd));
    else if (stored != computed)
        damaged(dataEnd, fmt::format("expected the checksum {:#06x}, found {:#06x}; some values may be wrong",
                                     computed, stored));
    return next;
}

std::optional<std::size_t> Walker::beyondData(FitDecoder& decoder, const FitStop& stop, std::size_t at,
                                              std::size_t dataEnd) {
    damaged(at + 4,
            fmt::format("expected the length of the data, found one that ends at byte {} where no checksum "
                        "stands; what follows was read too, as far as it makes sense",
                        dataEnd));
    const FitStop last = decode(decoder, stop.byte, file_.size());
    if (last.reason == FitStop::Reason::Undefined && fitMarkAt(file_, last.byte + checksumBytes))
        return last.byte + checksumBytes;
    return std::nullopt;
}

}  // namespace

std::string FitDamage::sentence() const {
    return fmt::format("Byte {}: {}.", byte, what);
}

bool fitMarkAt(std::span<const std::byte> file, std::size_t at) {
    if (at > file.size() || file.size() - at < shortHeader) return false;
    return std::ranges::equal(file.subspan(at + markOffset, mark.size()), std::as_bytes(std::span{mark}));
}

FitWalk walkFit(std::span<const std::byte> file, FitSink& sink, const RunControl& run) {
    return Walker{file, sink, run}.walk();
}

}  // namespace beatwitness::recording
