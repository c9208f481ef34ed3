#include "widgets/background/in_parallel.h"

#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

namespace beatwitness::widgets {

std::size_t parallelSteps() {
    return std::clamp<std::size_t>(std::thread::hardware_concurrency(), 1, 8);
}

bool inParallel(std::size_t count, const std::function<bool(std::size_t)>& step) {
    std::atomic<std::size_t> next{0};
    std::atomic<bool> good{true};
    const auto serve = [&] {
        for (std::size_t i = next++; i < count && good; i = next++)
            if (!step(i)) good = false;
    };
    {
        std::vector<std::jthread> others;
        for (std::size_t i = 1; i < std::min(parallelSteps(), count); ++i)
            others.emplace_back(serve);
        serve();
    }
    return good;
}

}  // namespace beatwitness::widgets
