#pragma once

#include <cstddef>
#include <vector>

namespace beatwitness::recording {

/// Asks the system to back a stretch of memory by large pages before it is first written: some megabytes then
/// cost a few page faults instead of thousands, a third of the time of reading a big table. Only a hint;
/// nothing happens where the stretch is small or the system has no such pages.
void backByLargePages(const void* memory, std::size_t bytes);

/// The same for what `vector` has reserved.
template <class T>
void backByLargePages(const std::vector<T>& vector) {
    backByLargePages(vector.data(), vector.capacity() * sizeof(T));
}

}  // namespace beatwitness::recording
