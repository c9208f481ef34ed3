#pragma once

#include <chrono>
#include <filesystem>
#include <optional>

#include "core/foundation/clocks.h"
#include "core/foundation/result.h"
#include "core/library/database.h"
#include "core/library/writer_lock.h"

namespace beatwitness::library {

struct OpenOptions {
    bool createIfAbsent = false;
    bool write = true;
    /// How long to wait for a lock that another program holds for a transaction. Windows and verbs take turns
    /// within milliseconds; an import by another program takes longer, but that holds the writer lock.
    std::chrono::milliseconds patience{5000};
};

/// The file of a library, opened, checked and brought to the present layout; one file again when it is
/// closed.
///
/// While it is open for writing it works with a write-ahead log beside it (`-wal`, `-shm`).
class LibraryFile {
public:
    /// Faults: LibraryNotOpened, LibraryForeign, LibraryNewer, LibraryDamaged, LibraryReadOnly (of an older
    /// layout, or to be created, where nothing can be written), LibraryFull, LibraryFailed. A file that can
    /// only be read is no fault: readOnlyBecause() then says why.
    [[nodiscard]] static Result<LibraryFile> open(const std::filesystem::path& path,
                                                  const OpenOptions& options = {});
    ~LibraryFile();
    LibraryFile(LibraryFile&&) noexcept;
    LibraryFile& operator=(LibraryFile&&) = delete;

    [[nodiscard]] Database& database() { return *database_; }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    [[nodiscard]] bool wasCreated() const { return wasCreated_; }
    /// LibraryLocked (another window or program writes to it) or LibraryReadOnly; nothing where it can be
    /// written.
    [[nodiscard]] const std::optional<Fault>& readOnlyBecause() const { return readOnlyBecause_; }

private:
    LibraryFile() = default;
    void takeLock(const OpenOptions& options, bool isThere);
    [[nodiscard]] Result<Done> connect(const OpenOptions& options);
    [[nodiscard]] Result<Done> check(const OpenOptions& options);
    void leaveOneFile();

    std::filesystem::path path_;
    std::optional<WriterLock> lock_;
    std::optional<Fault> readOnlyBecause_;
    std::optional<Database> database_;
    bool wasCreated_ = false;
};

/// Now, since 1970-01-01T00:00:00Z.
[[nodiscard]] Micros now();

}  // namespace beatwitness::library
