#include "core/recording/fit_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "core/recording/fit_assembler.h"
#include "core/recording/fit_file.h"
#include "core/recording/value_budget.h"

namespace beatwitness::recording {
namespace {

/// A file of many damaged parts would otherwise bury its other warnings.
constexpr std::size_t mostDamageWarnings = 10;

void warnOfDamage(Recording& recording, const std::vector<FitDamage>& damage) {
    const std::size_t shown = std::min(damage.size(), mostDamageWarnings);
    for (std::size_t i = 0; i < shown; ++i)
        recording.warnings.push_back(damage[i].sentence());
    if (damage.size() > shown)
        recording.warnings.push_back(fmt::format("{} further damaged places.", damage.size() - shown));
}

}  // namespace

bool looksLikeFit(std::span<const std::byte> bytes) {
    if (bytes.size() < 2) return false;
    if (fitMarkAt(bytes, 0)) return true;
    const auto size = std::to_integer<unsigned>(bytes[0]),
               version = std::to_integer<unsigned>(bytes[1]) >> 4U;
    if ((size != 12 && size != 14) || version < 1 || version > 2) return false;
    constexpr std::string_view mark = ".FIT";
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < mark.size() && 8 + i < bytes.size(); ++i)
        wrong += std::to_integer<char>(bytes[8 + i]) == mark[i] ? 0 : 1;
    return wrong <= 1;
}

Result<Recording> readFit(std::span<const std::byte> bytes, const RunControl& run) {
    FitAssembler assembler{mostValues(bytes.size())};
    const FitWalk walk = walkFit(bytes, assembler, run);
    if (walk.cancelled) return cancelled();
    if (walk.dataMessages == 0 && !walk.damage.empty()) {
        const FitDamage& first = walk.damage.front();
        return Fault{FaultCode::Damaged, "no FIT message could be read: " + first.what, {}, first.byte, {}};
    }
    Recording recording = assembler.finish();
    warnOfDamage(recording, walk.damage);
    run.progress(1.0);
    return recording;
}

}  // namespace beatwitness::recording
