#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/library/import_plan.h"

namespace beatwitness::tests {

/// 2031-03-03T06:00:00Z, a Monday.
inline constexpr std::int64_t monday_s = 1930284000;

/// Rates of one heart at whole seconds since 1970: two devices that record at one time record the same heart.
[[nodiscard]] double heartAt(std::int64_t second, std::uint64_t heart = 1);

/// What is said of a file to be offered.
struct FileMaker {
    std::string name;
    std::string device{}, serial{}, firmware{}, sport{};
    recording::ClockBasis clock = recording::ClockBasis::Utc;
    std::uint64_t heart = 1;                                ///< whose
    std::uint64_t noise = 0;                                ///< seed of this device's own error; 0: none
    std::int64_t late_us = 0;                               ///< on every time
    std::vector<std::pair<std::int64_t, int>> stretches{};  ///< begin in seconds since 1970, seconds

    [[nodiscard]] FileMaker& stretch(std::int64_t begin_s, int seconds) {
        stretches.emplace_back(begin_s, seconds);
        return *this;
    }
    [[nodiscard]] library::OfferedFile offer() const;
};

/// A file of one stretch by a device with an error of its own.
[[nodiscard]] library::OfferedFile fileOf(std::string_view name, std::int64_t begin_s, int seconds,
                                          std::string_view device = {});

/// File names by session, sorted within; the sessions in the order of the plan.
[[nodiscard]] std::vector<std::vector<std::string>> filesBySession(
    const library::ImportPlan& plan, const std::vector<library::OfferedFile>& files);

/// What the library knows once `plan` is stored in it, as if it were all.
[[nodiscard]] library::LibraryKnowledge knowledgeAfter(const library::ImportPlan& plan,
                                                       const std::vector<library::OfferedFile>& files);

}  // namespace beatwitness::tests
