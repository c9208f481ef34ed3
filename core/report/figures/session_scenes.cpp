#include "core/report/figures/session_scenes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/report/cautions.h"
#include "core/report/figures/agreement_scenes.h"
#include "core/report/figures/figure_words.h"

namespace beatwitness::report {
namespace {

using analysis::SessionAnalysis;
using analysis::TestAnalysis;

constexpr double reference_pt = 1.3, device_pt = 0.95;
constexpr double rateStep_bpm = 10.0, errorStep_bpm = 10.0;
constexpr double tolerance_bpm = 5.0;

const analysis::ClockView& viewOf(const TestAnalysis& test, bool aligned) {
    return aligned ? test.view() : test.asRecorded;
}

std::string deviceName(const SessionWords& words, std::size_t test) {
    return test < words.devices.size() ? words.devices[test] : fmt::format("test {}", test + 1);
}

Paint devicePaint(const SessionWords& words, std::size_t test) {
    return Paint::device(test < words.deviceIndex.size() ? words.deviceIndex[test] : static_cast<int>(test));
}

/// The part of the session that is shown.
struct Window {
    double begin_s = 0.0, end_s = 1.0;
    [[nodiscard]] bool holds(double second_s) const { return begin_s <= second_s && second_s <= end_s; }
};

Window windowOf(const SessionAnalysis& session, const OverlayOptions& options) {
    Window window{0.0, std::max(1.0, session.referenceTrace.seconds.back())};
    if (options.begin_s) window.begin_s = *options.begin_s;
    if (options.end_s) window.end_s = std::max(window.begin_s + 1.0, *options.end_s);
    return window;
}

/// The samples inside the window and one beyond each end, so that lines run to the edge.
Line lineOf(const trace::SessionTrace& trace, const Window& window, Paint paint, double width_pt) {
    Line line;
    line.paint = paint;
    line.width_pt = width_pt;
    const auto& seconds = trace.seconds;
    auto from = std::ranges::lower_bound(seconds, window.begin_s) - seconds.begin();
    auto to = std::ranges::upper_bound(seconds, window.end_s) - seconds.begin();
    from = std::max<std::ptrdiff_t>(0, from - 1);
    to = std::min<std::ptrdiff_t>(std::ssize(seconds), to + 1);
    for (auto i = static_cast<std::size_t>(from); i < static_cast<std::size_t>(to); ++i) {
        line.x.push_back(seconds[i]);
        line.y.push_back(trace.rates[i].value);
        line.joined.push_back(line.x.size() > 1 && trace.joined[i]);
    }
    return line;
}

Line errorLineOf(const trace::Pairs& pairs, const Window& window, Paint paint) {
    Line line;
    line.paint = paint;
    line.width_pt = 0.8;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        const auto second_s = static_cast<double>(pairs.seconds[i]);
        if (!window.holds(second_s)) continue;
        line.joined.push_back(!line.x.empty() && line.x.back() == second_s - 1.0);
        line.x.push_back(second_s);
        line.y.push_back(pairs.error(i).value);
    }
    return line;
}

Bounds boundsOf(const std::vector<Line>& lines, double step, double pad) {
    double lowest = 1e9, highest = -1e9;
    for (const auto& line : lines)
        for (const double value : line.y)
            lowest = std::min(lowest, value), highest = std::max(highest, value);
    if (lowest > highest) return {60.0, 180.0};
    return roundBounds(lowest - pad, highest + pad, step);
}

Axis timeAxis(const Window& window, bool labelled) {
    Axis axis;
    axis.kind = labelled ? Axis::Kind::SessionTime : Axis::Kind::Hidden;
    axis.lowest = window.begin_s;
    axis.highest = window.end_s;
    if (labelled) axis.label = "session time";
    axis.grid = false;
    return axis;
}

std::vector<const flags::Flag*> flagsOn(const TestAnalysis& test, flags::FlaggedTrace on,
                                        const Window& window) {
    std::vector<const flags::Flag*> found;
    for (const auto& flag : test.flags)
        if (flag.on == on && secondsOf(flag.span.end) >= window.begin_s &&
            secondsOf(flag.span.begin) <= window.end_s)
            found.push_back(&flag);
    return found;
}

Panel tracesPanel(const SessionAnalysis& session, const SessionWords& words, const OverlayOptions& options,
                  const Window& window) {
    Panel panel;
    panel.x = timeAxis(window, false);
    panel.y.label = "heart rate, bpm";
    std::vector<Line> lines;
    for (std::size_t i = 0; i < session.tests.size(); ++i) {
        auto line =
            lineOf(viewOf(session.tests[i], options.aligned).trace, window, devicePaint(words, i), device_pt);
        line.endLabel = deviceName(words, i);
        lines.push_back(std::move(line));
    }
    lines.push_back(lineOf(session.referenceTrace, window, Paint::reference(), reference_pt));
    lines.back().endLabel = words.reference;
    const Bounds bounds = boundsOf(lines, rateStep_bpm, 4.0);
    panel.y.lowest = bounds.lowest;
    panel.y.highest = bounds.highest;
    if (options.flags && !session.tests.empty())
        for (const auto* flag : flagsOn(session.tests.front(), flags::FlaggedTrace::Test, window)) {
            Zone zone{secondsOf(flag->span.begin),
                      secondsOf(flag->span.end),
                      true,
                      Paint::of(flag->kind),
                      {},
                      true};
            panel.marks.emplace_back(zone);
        }
    std::ranges::rotate(lines, lines.end() - 1);  // the reference undermost: a device that hides it agrees
    for (auto& line : lines)
        panel.marks.emplace_back(std::move(line));
    if (options.pins)
        for (const auto& pin : words.pins) {
            const double at_s = toSeconds(pin.at - session.t0).value;
            if (window.holds(at_s))
                panel.marks.emplace_back(
                    Rule{0.0, at_s, true, Paint::ink(), Dash::Dotted, 0.7, false, pin.note});
        }
    return panel;
}

Panel errorPanel(const SessionAnalysis& session, const SessionWords& words, const OverlayOptions& options,
                 const Window& window) {
    Panel panel;
    panel.x = timeAxis(window, false);
    panel.y.kind = Axis::Kind::Signed;
    panel.y.label = "error, bpm (test minus reference)";
    std::vector<Line> lines;
    for (std::size_t i = 0; i < session.tests.size(); ++i)
        lines.push_back(
            errorLineOf(viewOf(session.tests[i], options.aligned).pairs, window, devicePaint(words, i)));
    Bounds bounds = boundsOf(lines, errorStep_bpm, 0.0);
    panel.y.lowest = std::min(bounds.lowest, -errorStep_bpm);
    panel.y.highest = std::max(bounds.highest, errorStep_bpm);
    panel.marks.emplace_back(Zone{-tolerance_bpm, tolerance_bpm, false, Paint::quiet(), {}, false});
    panel.marks.emplace_back(Rule{0.0, 0.0, false, Paint::ink(), Dash::Solid, 0.6, false, {}});
    for (auto& line : lines)
        panel.marks.emplace_back(std::move(line));
    return panel;
}

PanelRow lanes(std::vector<std::string> names, std::vector<Block> blocks, const Window& window,
               double lines) {
    Panel panel;
    panel.x = timeAxis(window, false);
    panel.y.kind = Axis::Kind::Categories;
    panel.y.lowest = -0.5;
    panel.y.highest = static_cast<double>(names.size()) - 0.5;
    panel.y.categories = std::move(names);
    for (auto& block : blocks)
        panel.marks.emplace_back(std::move(block));
    PanelRow row;
    row.panels.push_back(std::move(panel));
    row.lines = lines;
    return row;
}

std::optional<PanelRow> flagLanes(const SessionAnalysis& session, const SessionWords& words,
                                  const Window& window) {
    std::vector<std::string> names;
    std::vector<Block> blocks;
    const auto add = [&](const std::string& name, const std::vector<const flags::Flag*>& found) {
        if (found.empty()) return;
        for (const auto* flag : found) {
            Block block;
            block.from = secondsOf(flag->span.begin);
            block.to = secondsOf(flag->span.end);
            block.row = static_cast<double>(names.size());
            block.paint = Paint::of(flag->kind);
            block.hollow = flag->kind == flags::FlagKind::Dropout;
            block.coded = true;
            blocks.push_back(block);
        }
        names.push_back(name);
    };
    for (std::size_t i = 0; i < session.tests.size(); ++i)
        add(deviceName(words, i), flagsOn(session.tests[i], flags::FlaggedTrace::Test, window));
    if (!session.tests.empty())
        add(words.reference, flagsOn(session.tests.front(), flags::FlaggedTrace::Reference, window));
    if (names.empty()) return std::nullopt;
    const auto count = static_cast<double>(names.size());
    return lanes(std::move(names), std::move(blocks), window, count * 1.15);
}

std::optional<PanelRow> phaseLane(const SessionAnalysis& session, const SessionWords& words,
                                  const Window& window) {
    std::vector<Block> blocks;
    for (const auto& phase : words.phases) {
        if (phase.level != 0) continue;
        Block block;
        block.from = toSeconds(phase.span.begin - session.t0).value;
        block.to = toSeconds(phase.span.end - session.t0).value;
        if (block.to < window.begin_s || block.from > window.end_s) continue;
        block.thickness = 0.85;
        block.paint = Paint::quiet();
        block.label = trace::phaseLabel(phase);
        blocks.push_back(block);
    }
    if (blocks.empty()) return std::nullopt;
    return lanes({"phases"}, std::move(blocks), window, 1.15);
}

void addLegend(Scene& scene, const SessionAnalysis& session, const OverlayOptions& options,
               const Window& window) {
    std::set<flags::FlagKind> kinds;
    if (!options.flags) return;
    for (const auto& test : session.tests)
        for (const auto& flag : test.flags)
            if (secondsOf(flag.span.end) >= window.begin_s && secondsOf(flag.span.begin) <= window.end_s)
                kinds.insert(flag.kind);
    for (const auto kind : kinds)
        scene.legend.push_back(
            {kindWords(flags::flagKindName(kind)), Paint::of(kind), LegendEntry::Sample::Swatch});
}

std::string clockWords(const TestAnalysis& test, bool aligned) {
    if (!aligned) return "as recorded";
    if (!test.aligned) return "as recorded: the clocks could not be aligned";
    const auto& correction = *test.alignment.correction;
    std::string text = "aligned by " + signedNumber(correction.offset.value, 1) + " s";
    if (test.alignment.offsetInterval_s)
        text += fmt::format(" ({} to {})", figureNumber(test.alignment.offsetInterval_s->lower, 1),
                            figureNumber(test.alignment.offsetInterval_s->upper, 1));
    return text;
}

std::string overlaySubtitle(const SessionAnalysis& session, const SessionWords& words,
                            const OverlayOptions& options) {
    std::string text;
    for (std::size_t i = 0; i < session.tests.size(); ++i) {
        const auto& test = session.tests[i];
        const auto& mae = viewOf(test, options.aligned).agreement.mae;
        if (i > 0) text += "; ";
        text += fmt::format("{} {}, MAE {} bpm", deviceName(words, i), clockWords(test, options.aligned),
                            figureNumber(mae ? std::optional(mae->value) : std::nullopt));
    }
    return text;
}

std::string overlayCaption(const SessionAnalysis& session, const SessionWords& words,
                           const OverlayOptions& options) {
    std::string text = fmt::format("{}: heart rate by {}", words.title, words.reference);
    for (std::size_t i = 0; i < session.tests.size(); ++i)
        text += (i + 1 == session.tests.size() ? " and " : ", ") + deviceName(words, i);
    text += " in one session";
    text += options.flags ? ", with the flagged stretches tinted." : ".";
    for (std::size_t i = 0; i < session.tests.size(); ++i) {
        const auto& view = viewOf(session.tests[i], options.aligned);
        text +=
            fmt::format(" {}: {} paired seconds, {} % of those in which the reference has a value.",
                        deviceName(words, i), countWords(static_cast<double>(view.pairs.size())),
                        figureNumber(view.agreement.coverage ? std::optional(view.agreement.coverage->value)
                                                             : std::nullopt));
    }
    if (session.excludedReferenceSeconds > 0)
        text += fmt::format(" {} seconds left out because the reference itself failed.",
                            countWords(static_cast<double>(session.excludedReferenceSeconds)));
    return text;
}

PanelRow rowOf(Panel panel, double weight) {
    PanelRow row;
    row.panels.push_back(std::move(panel));
    row.weight = weight;
    return row;
}

}  // namespace

trace::Pairs pairsShown(const SessionAnalysis& session, const OverlayOptions& options) {
    const Window window = windowOf(session, options);
    trace::Pairs shown;
    if (session.tests.empty()) return shown;
    const auto& all = viewOf(session.tests.front(), options.aligned).pairs;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (!window.holds(static_cast<double>(all.seconds[i]))) continue;
        shown.seconds.push_back(all.seconds[i]);
        shown.reference.push_back(all.reference[i]);
        shown.test.push_back(all.test[i]);
    }
    return shown;
}

std::array<double, 2> secondsShown(const SessionAnalysis& session, const OverlayOptions& options) {
    const Window window = windowOf(session, options);
    return {window.begin_s, window.end_s};
}

Scene overlayScene(const SessionAnalysis& session, const SessionWords& words, const OverlayOptions& options) {
    const Window window = windowOf(session, options);
    Scene scene;
    scene.title = words.title;
    scene.subtitle = overlaySubtitle(session, words, options);
    scene.rows.push_back(rowOf(tracesPanel(session, words, options, window), 3.0));
    if (options.errorStrip) scene.rows.push_back(rowOf(errorPanel(session, words, options, window), 1.2));
    if (options.flags)
        if (auto row = flagLanes(session, words, window)) scene.rows.push_back(std::move(*row));
    if (options.phases)
        if (auto row = phaseLane(session, words, window)) scene.rows.push_back(std::move(*row));
    // The time axis stands under the lowest panel; a lane grows by the two lines of its labels.
    auto& lowest = scene.rows.back();
    lowest.panels.front().x = timeAxis(window, true);
    if (lowest.lines > 0) lowest.lines += 2.0;
    addLegend(scene, session, options, window);
    if (options.mapBeside && !session.tests.empty()) {
        auto map = mapBeside(agreement::densityMap(pairsShown(session, options), 1), deviceName(words, 0),
                             options.scale);
        scene.beside = std::move(map.panel);
        scene.legend.push_back(std::move(map.ramp));
    }
    scene.footnote = std::string(cautionLine());
    scene.caption = overlayCaption(session, words, options);
    return scene;
}

Scene lossCurveScene(const SessionAnalysis& session, std::size_t test, const SessionWords& words) {
    const auto& alignment = session.tests[test].alignment;
    Scene scene;
    scene.title = "Where the clock of the " + deviceName(words, test) + " fits the reference";
    scene.subtitle = words.title;
    Panel panel;
    panel.x.kind = Axis::Kind::Signed;
    panel.x.label = "added to the clock of the " + deviceName(words, test) + ", s";
    panel.y.label = "disagreement, bpm (root mean square about the mean difference)";
    Line line;
    line.paint = devicePaint(words, test);
    line.width_pt = 1.2;
    double highest = 1.0;
    for (const auto& point : alignment.lossCurve) {
        line.joined.push_back(!line.x.empty());
        line.x.push_back(point.offset.value);
        line.y.push_back(point.loss_bpm);
        highest = std::max(highest, point.loss_bpm);
    }
    panel.x.lowest = line.x.empty() ? -30.0 : line.x.front();
    panel.x.highest = line.x.empty() ? 30.0 : line.x.back();
    panel.y.highest = roundBounds(0.0, highest * 1.02, highest > 10 ? 5.0 : 1.0).highest;
    if (alignment.offsetInterval_s)
        panel.marks.emplace_back(Zone{alignment.offsetInterval_s->lower,
                                      alignment.offsetInterval_s->upper,
                                      true,
                                      Paint{Paint::Role::Accent},
                                      {},
                                      false});
    if (alignment.applied())
        panel.marks.emplace_back(Rule{0.0, alignment.correction->offset.value, true,
                                      Paint{Paint::Role::Accent}, Dash::Solid, 1.0, false,
                                      signedNumber(alignment.correction->offset.value, 2) + " s"});
    panel.marks.emplace_back(std::move(line));
    scene.rows.push_back(rowOf(std::move(panel), 1.0));
    if (alignment.applied() && alignment.offsetInterval_s)
        scene.caption = fmt::format(
            "The two traces differ least with {} s added to the clock of the {} (95 % interval {} to {} s, "
            "block "
            "bootstrap). A constant delay of the device is part of this offset and cannot be told from it.",
            signedNumber(alignment.correction->offset.value, 2), deviceName(words, test),
            figureNumber(alignment.offsetInterval_s->lower, 2),
            figureNumber(alignment.offsetInterval_s->upper, 2));
    else if (alignment.refusedBecause)
        scene.caption = "Not aligned: " + *alignment.refusedBecause + ".";
    else
        scene.caption = "No offset was estimated.";
    scene.footnote = std::string(cautionLine());
    return scene;
}

}  // namespace beatwitness::report
