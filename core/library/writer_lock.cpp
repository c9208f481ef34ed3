#include "core/library/writer_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

namespace beatwitness::library {
namespace {

/// False where the side file was removed between opening and locking it: its lock then guards nothing.
bool isStillThere(int descriptor, const std::filesystem::path& sideFile) {
    struct stat held {
    }, named{};
    return ::fstat(descriptor, &held) == 0 && ::stat(sideFile.c_str(), &named) == 0 &&
           held.st_ino == named.st_ino && held.st_dev == named.st_dev;
}

}  // namespace

std::variant<WriterLock, WriterLock::Refusal> WriterLock::take(const std::filesystem::path& library) {
    auto sideFile = library;
    sideFile += "-writer";
    while (true) {
        const int descriptor = ::open(sideFile.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0644);
        if (descriptor < 0) {
            if (errno == EINTR) continue;
            return Refusal::NotPermitted;
        }
        if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
            const bool isHeld = errno == EWOULDBLOCK;
            ::close(descriptor);
            return isHeld ? Refusal::HeldElsewhere : Refusal::NotPermitted;
        }
        if (isStillThere(descriptor, sideFile)) return WriterLock{descriptor, std::move(sideFile)};
        ::close(descriptor);
    }
}

WriterLock::WriterLock(WriterLock&& other) noexcept
    : descriptor_{std::exchange(other.descriptor_, -1)}, sideFile_{std::move(other.sideFile_)} {}

WriterLock& WriterLock::operator=(WriterLock&& other) noexcept {
    if (this == &other) return *this;
    giveBack();
    descriptor_ = std::exchange(other.descriptor_, -1);
    sideFile_ = std::move(other.sideFile_);
    return *this;
}

WriterLock::~WriterLock() {
    giveBack();
}

void WriterLock::giveBack() {
    if (descriptor_ < 0) return;
    ::unlink(sideFile_.c_str());  // before the lock goes: whoever waits for it sees that the file is gone
    ::close(descriptor_);
    descriptor_ = -1;
}

}  // namespace beatwitness::library
