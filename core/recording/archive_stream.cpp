#include "core/recording/archive_stream.h"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>

#include <utility>

#include "core/foundation/text.h"

namespace beatwitness::recording {
namespace {

constexpr std::size_t step = std::size_t{256} << 10;

std::string nameOf(archive_entry* entry) {
    const char* name = archive_entry_pathname_utf8(entry);
    if (name == nullptr) name = archive_entry_pathname(entry);
    return name == nullptr ? std::string{} : printable(name, 80);
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
    : archive_(archive_read_new()), left_(most), most_(most) {
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
        auto bytes = unpack(file.damage, run);
        if (!bytes) return bytes.fault();
        file.bytes = *std::move(bytes);
        if (!file.bytes.empty() || !file.damage.empty()) return std::optional{std::move(file)};
    }
}

Result<std::vector<std::byte>> ArchiveStream::unpack(std::string& damage, const RunControl& run) {
    std::vector<std::byte> bytes;
    std::size_t filled = 0;
    for (;;) {
        if (run.stopRequested()) return cancelled();
        if (bytes.size() < filled + step) bytes.resize(std::max(filled + step, bytes.size() * 2));
        const auto got = archive_read_data(archive_.get(), bytes.data() + filled, step);
        if (got == ARCHIVE_RETRY || got == ARCHIVE_WARN) continue;
        if (got < 0) damage = damaged().message;
        if (got <= 0) break;
        filled += static_cast<std::size_t>(got);
        if (static_cast<std::size_t>(got) > left_) return tooLong(most_);
        left_ -= static_cast<std::size_t>(got);
    }
    bytes.resize(filled);
    return bytes;
}

}  // namespace beatwitness::recording
