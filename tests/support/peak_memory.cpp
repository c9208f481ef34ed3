#include "tests/support/peak_memory.h"

#include <malloc.h>

#include <fstream>
#include <string>

namespace beatwitness::tests {
namespace {

/// A line such as "VmHWM:   1234 kB" of what the system says of this process, in bytes.
std::optional<std::size_t> toldOf(const std::string& name) {
    std::ifstream status{"/proc/self/status"};
    for (std::string line; std::getline(status, line);)
        if (line.starts_with(name + ":")) return std::stoul(line.substr(name.size() + 1)) * 1024;
    return std::nullopt;
}

}  // namespace

std::optional<std::size_t> peakMemoryOf(const std::function<void()>& work) {
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
    work();
    return std::nullopt;
#else
    malloc_trim(0);
    // 5 makes the highest mark start anew from here.
    std::ofstream{"/proc/self/clear_refs"} << "5" << std::flush;
    const auto before = toldOf("VmRSS");
    work();
    const auto highest = toldOf("VmHWM");
    if (!before || !highest || *highest < *before) return std::nullopt;
    return *highest - *before;
#endif
}

}  // namespace beatwitness::tests
