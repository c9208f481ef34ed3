#pragma once

#include <filesystem>
#include <variant>

namespace beatwitness::library {

/// The right to write to a library, held by one program or window at a time.
///
/// It is an advisory lock (flock) on a side file, `<library>-writer`, which goes when it is given back.
/// SQLite's own locks last for a transaction only, and a lock on the library itself would disturb them. The
/// system gives the lock back when a program is killed; a side file that then is left over hinders nobody.
class WriterLock {
public:
    enum class Refusal {
        HeldElsewhere,
        NotPermitted,  ///< the folder cannot be written
    };

    [[nodiscard]] static std::variant<WriterLock, Refusal> take(const std::filesystem::path& library);
    ~WriterLock();
    WriterLock(WriterLock&& other) noexcept;
    WriterLock& operator=(WriterLock&& other) noexcept;

private:
    WriterLock(int descriptor, std::filesystem::path sideFile)
        : descriptor_{descriptor}, sideFile_{std::move(sideFile)} {}
    void giveBack();

    int descriptor_ = -1;
    std::filesystem::path sideFile_;
};

}  // namespace beatwitness::library
