#include "core/report/figures/offset_scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

constexpr double halfHour_s = 1800.0;

struct Device {
    std::string label;
    std::vector<double> rests;
};

double median(std::vector<double> values) {
    std::ranges::sort(values);
    const auto half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

/// "band half an hour off" is said in hours: "+1.0 h".
std::string noteOf(const SessionOffset& offset) {
    if (!offset.offset_s) return fmt::format("{} not aligned", offset.device);
    const auto split = splitOffset(*offset.offset_s);
    return split.halfHours_s == 0
               ? std::string{}
               : fmt::format("{} {} h", offset.device, signedNumber(split.halfHours_s / 3600));
}

}  // namespace

SplitOffset splitOffset(double offset_s) {
    const double whole = std::round(offset_s / halfHour_s) * halfHour_s;
    return {whole, offset_s - whole};
}

Scene offsetsScene(std::span<const SessionOffset> offsets, const FigureWords& words) {
    Scene scene;
    scene.title = words.title;
    scene.subtitle = words.subtitle;
    scene.caption = words.caption;
    scene.footnote = words.footnote;
    std::vector<std::string> sessions, notes;
    std::map<int, Device> devices;
    Panel panel;
    double lowest = 0.0, highest = 0.0;
    for (const auto& offset : offsets) {
        auto place = std::ranges::find(sessions, offset.session);
        if (place == sessions.end()) {
            sessions.push_back(offset.session);
            notes.emplace_back();
            place = sessions.end() - 1;
        }
        auto& note = notes[static_cast<std::size_t>(place - sessions.begin())];
        if (const auto said = noteOf(offset); !said.empty()) note += (note.empty() ? "" : ", ") + said;
        auto& device = devices[offset.deviceIndex];
        device.label = offset.device;
        if (!offset.offset_s) continue;
        const double rest = splitOffset(*offset.offset_s).rest_s;
        device.rests.push_back(rest);
        lowest = std::min(lowest, rest);
        highest = std::max(highest, rest);
        panel.marks.emplace_back(Points{{rest},
                                        {static_cast<double>(place - sessions.begin())},
                                        Paint::device(offset.deviceIndex),
                                        offset.deviceIndex,
                                        false});
    }
    const double room = std::max(1.0, 0.08 * (highest - lowest));
    // Notes stand clear of the marks.
    const bool noted = std::ranges::any_of(notes, [](const auto& note) { return !note.empty(); });
    const double right = highest + room + (noted ? 0.3 * (highest - lowest + room) : 0.0);
    panel.x = {Axis::Kind::Signed, "offset of the device's clock, s", lowest - room, right, {}, true};
    for (std::size_t i = 0; i < sessions.size(); ++i)
        if (!notes[i].empty())
            panel.marks.emplace_back(
                Word{right, static_cast<double>(i), notes[i], Paint::quiet(), Word::Anchor::Right, false});
    for (const auto& [index, device] : devices) {
        LegendEntry entry{device.label, Paint::device(index), LegendEntry::Sample::Shape, index, Dash::Solid};
        if (!device.rests.empty()) {
            const double middle = median(device.rests);
            panel.marks.insert(panel.marks.begin(),
                               Rule{0.0, middle, true, Paint::device(index), Dash::Dashed, 0.9, false, {}});
            entry.label += fmt::format(", median {} s", signedNumber(middle));
        }
        scene.legend.push_back(std::move(entry));
    }
    panel.y.kind = Axis::Kind::Categories;
    panel.y.lowest = -0.6;
    panel.y.highest = static_cast<double>(sessions.size()) - 0.4;
    scene.aspect = std::clamp(2.4 - 0.08 * static_cast<double>(sessions.size()), 0.8, 2.2);
    panel.y.categories = std::move(sessions);
    scene.rows.push_back({{std::move(panel)}});
    return scene;
}

}  // namespace beatwitness::report
