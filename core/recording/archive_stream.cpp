#include "core/recording/archive_stream.h"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "core/foundation/text.h"
#include "core/recording/archive_gzip.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t step = std::size_t{256} << 10;

std::string nameOf(archive_entry* entry) {
    const char* name = archive_entry_pathname_utf8(entry);
    if (name == nullptr) name = archive_entry_pathname(entry);
    return name == nullptr ? std::string{} : printable(name, 80);
}

/// Where the bytes of the file `name` begin that zip stored by deflate, to the end of the archive; empty
/// where no such file is found. By the local file header of zip: mark `PK` 3 4, at 6 flags, at 8 the method
/// (8 is deflate), at 26 and 28 the lengths of name and extra field, at 30 the name.
std::span<const std::byte> deflatedData(std::span<const std::byte> bytes, std::string_view name) {
    constexpr std::size_t headerSize = 30;
    const std::string_view text{reinterpret_cast<const char*>(bytes.data()), bytes.size()};
    const auto number = [text](std::size_t at) {
        return static_cast<std::size_t>(static_cast<unsigned char>(text[at]) |
                                        static_cast<unsigned char>(text[at + 1]) << 8);
    };
    for (auto at = text.find("PK\3\4"); at != std::string_view::npos; at = text.find("PK\3\4", at + 1)) {
        if (text.size() - at < headerSize) break;
        const bool isPlain = number(at + 6) % 2 == 0 && number(at + 8) == 8;
        if (!isPlain || text.substr(at + headerSize, number(at + 26)) != name) continue;
        const std::size_t begin = at + headerSize + number(at + 26) + number(at + 28);
        return begin < bytes.size() ? bytes.subspan(begin) : std::span<const std::byte>{};
    }
    return {};
}

}  // namespace

Fault tooLong(std::size_t most) {
    return {
        FaultCode::TooLong,
        fmt::format("the archive unpacks to more than {} bytes, which no recording of its size does", most),
        {},
        {},
        {}};
}

void ArchiveStream::Closer::operator()(archive* opened) const {
    archive_read_free(opened);
}

ArchiveStream::ArchiveStream(std::span<const std::byte> bytes, std::size_t most)
    : bytes_(bytes), archive_(archive_read_new()), left_(most), most_(most) {
    if (!archive_) return;
    archive_read_support_format_zip(archive_.get());
    isOpen_ = archive_read_open_memory(archive_.get(), bytes.data(), bytes.size()) == ARCHIVE_OK;
}

Fault ArchiveStream::damaged() const {
    const char* said = archive_ ? archive_error_string(archive_.get()) : nullptr;
    return {FaultCode::Damaged,
            fmt::format("the archive is damaged ({})", said ? printable(said, 120) : "it cannot be opened"),
            {},
            {},
            {}};
}

Result<std::optional<ArchiveFile>> ArchiveStream::next(const RunControl& run) {
    if (!isOpen_) return damaged();
    for (;;) {
        if (run.stopRequested()) return cancelled();
        archive_entry* entry = nullptr;
        const int status = archive_read_next_header(archive_.get(), &entry);
        if (status == ARCHIVE_EOF) return std::optional<ArchiveFile>{};
        if (status != ARCHIVE_OK && status != ARCHIVE_WARN) return damaged();
        if (archive_entry_filetype(entry) == AE_IFDIR) continue;
        ArchiveFile file;
        file.name = nameOf(entry);
        if (archive_entry_is_encrypted(entry) != 0)
            return Fault{FaultCode::NotReadable,
                         fmt::format("the archive is encrypted (\"{}\"); one without a password was expected",
                                     file.name),
                         {},
                         {},
                         {}};
        if (auto fault = unpack(file, run)) return *fault;
        const char* stored = archive_entry_pathname(entry);
        if (!file.damage.empty() && stored != nullptr)
            if (auto fault = salvage(file, stored, run)) return *fault;
        if (!file.bytes.empty() || !file.damage.empty()) return std::optional{std::move(file)};
    }
}

std::optional<Fault> ArchiveStream::unpack(ArchiveFile& file, const RunControl& run) {
    std::size_t filled = 0;
    for (;;) {
        if (run.stopRequested()) return cancelled();
        if (file.bytes.size() < filled + step)
            file.bytes.resize(std::max(filled + step, file.bytes.size() * 2));
        const auto got = archive_read_data(archive_.get(), file.bytes.data() + filled, step);
        if (got == ARCHIVE_RETRY || got == ARCHIVE_WARN) continue;
        if (got < 0) file.damage = damaged().message;
        if (got <= 0) break;
        filled += static_cast<std::size_t>(got);
        if (static_cast<std::size_t>(got) > left_) return tooLong(most_);
        left_ -= static_cast<std::size_t>(got);
    }
    file.bytes.resize(filled);
    return std::nullopt;
}

/// The library keeps back what it unpacked last before damage: unpacks the file again by its own header, and
/// keeps whichever is more.
std::optional<Fault> ArchiveStream::salvage(ArchiveFile& file, std::string_view storedName,
                                            const RunControl& run) {
    const auto data = deflatedData(bytes_, storedName);
    if (data.empty()) return std::nullopt;
    auto again = inflateBare(data, left_ + file.bytes.size(), run);
    if (!again) return again.fault();
    if (again->bytes.size() <= file.bytes.size()) return std::nullopt;
    left_ -= again->bytes.size() - file.bytes.size();
    file.bytes = std::move(again->bytes);
    return std::nullopt;
}

}  // namespace beatwitness::recording
