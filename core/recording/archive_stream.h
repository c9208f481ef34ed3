#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"

struct archive;
struct archive_entry;

namespace beatwitness::recording {

/// One file of an archive, unpacked.
struct ArchiveFile {
    std::string name;  ///< printable; empty for gzip
    std::vector<std::byte> bytes;
    std::string damage;  ///< what stopped the unpacking, else empty
};

/// What is said of an archive that unpacks to more than `most` bytes.
[[nodiscard]] Fault tooLong(std::size_t most);

/// Unpacks a zip archive that lies in memory, file by file.
class ArchiveStream {
public:
    /// `bytes` must outlive the stream. All files together may unpack to `most` bytes.
    ArchiveStream(std::span<const std::byte> bytes, std::size_t most);

    /// The next file that is not a folder and not empty; nothing at the end. Faults: TooLong, NotReadable
    /// (encrypted), Damaged (no further file can be found), Cancelled.
    [[nodiscard]] Result<std::optional<ArchiveFile>> next(const RunControl& run);

private:
    struct Closer {
        void operator()(archive* opened) const;
    };

    [[nodiscard]] std::optional<Fault> unpack(ArchiveFile& file, const RunControl& run);
    [[nodiscard]] std::optional<Fault> salvage(ArchiveFile& file, std::string_view storedName,
                                               const RunControl& run);
    [[nodiscard]] Fault damaged() const;

    std::span<const std::byte> bytes_;
    std::unique_ptr<archive, Closer> archive_;
    bool isOpen_ = false;
    std::size_t left_;
    std::size_t most_;
};

}  // namespace beatwitness::recording
