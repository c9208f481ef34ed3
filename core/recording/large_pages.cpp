#include "core/recording/large_pages.h"

#include <cstdint>

#if defined(__linux__)
#include <sys/mman.h>
#endif

namespace beatwitness::recording {

void backByLargePages([[maybe_unused]] const void* memory, [[maybe_unused]] std::size_t bytes) {
#if defined(__linux__)
    constexpr std::uintptr_t page = 4096;
    constexpr std::size_t worthIt = std::size_t{4} << 20;
    if (bytes < worthIt) return;
    // Where pages are larger than these the call fails, which costs nothing.
    const auto begin = (reinterpret_cast<std::uintptr_t>(memory) + page - 1) / page * page;
    const auto end = (reinterpret_cast<std::uintptr_t>(memory) + bytes) / page * page;
    static_cast<void>(::madvise(reinterpret_cast<void*>(begin), end - begin, MADV_HUGEPAGE));
#endif
}

}  // namespace beatwitness::recording
