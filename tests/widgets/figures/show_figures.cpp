// Every kind of figure with plausible data, to be looked at: show_figures FOLDER
#include <QDir>
#include <QGuiApplication>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "core/report/cautions.h"
#include "core/report/figures/agreement_scenes.h"
#include "core/report/figures/comparison_scenes.h"
#include "core/report/figures/session_scenes.h"
#include "tests/widgets/plots/demo_session.h"
#include "widgets/figures/figure_export.h"

using namespace beatwitness;

namespace {

struct Named {
    const char* name;
    report::Scene scene;
};

report::FigureWords wordsOf(const std::string& title, const std::string& subtitle) {
    return {title, subtitle, "", "6 sessions of one wearer, 17,204 s. " + std::string(report::cautionLine())};
}

flags::Flag flagOf(flags::FlagKind kind, double begin_s, double end_s) {
    flags::Flag flag;
    flag.kind = kind;
    flag.span = {sessionTime(begin_s), sessionTime(end_s)};
    return flag;
}

/// The demo session with a flag of every kind, a phase plan and a pin.
analysis::SessionAnalysis sessionWithFlags(int tests) {
    auto session = *widgets_test::rowingSession(48, tests);
    auto& flags = session.tests.front().flags;
    flags.clear();
    double at = 100;
    for (const auto kind : flags::allFlagKinds) {
        flags.push_back(flagOf(kind, at, at + 150));
        at += 260;
    }
    session.tests.front().alignment = widgets_test::demoAlignment();
    return session;
}

report::SessionWords sessionWords(const analysis::SessionAnalysis& session, int tests) {
    report::SessionWords words{"5 \u00d7 4 min on the ergometer", "strap", {}, {}, {}, {}};
    for (int i = 0; i < tests; ++i)
        words.devices.push_back(i == 0 ? "band" : i == 1 ? "watch" : "ring");
    const auto phase = [&](double begin, double end, trace::PhaseKind kind) {
        words.phases.push_back({{session.t0 + toMicros({begin}), session.t0 + toMicros({end})},
                                kind,
                                trace::PhaseOrigin::Hand,
                                0,
                                ""});
    };
    phase(0, 420, trace::PhaseKind::WarmUp);
    for (int i = 0; i < 5; ++i) {
        phase(420 + 420 * i, 660 + 420 * i, trace::PhaseKind::Effort);
        phase(660 + 420 * i, 840 + 420 * i, trace::PhaseKind::Recovery);
    }
    return words;
}

std::vector<Named> sessionFigures() {
    const auto one = sessionWithFlags(1), two = sessionWithFlags(2);
    report::OverlayOptions part;
    part.begin_s = 900;
    part.end_s = 1900;
    return {{"overlay", report::overlayScene(one, sessionWords(one, 1), {})},
            {"overlay-two", report::overlayScene(two, sessionWords(two, 2), {})},
            {"overlay-part", report::overlayScene(one, sessionWords(one, 1), part)},
            {"loss-curve", report::lossCurveScene(one, 0, sessionWords(one, 1))}};
}

std::vector<report::ErrorCounts> errorsOf(const analysis::SessionAnalysis& session) {
    std::vector<report::ErrorCounts> all;
    int index = 0;
    for (const auto& test : session.tests) {
        report::ErrorCounts counts{index == 0 ? "band" : "watch", index, 0, -110,
                                   std::vector<double>(180, 0.0)};
        for (std::size_t i = 0; i < test.view().pairs.size(); ++i) {
            const long cell = std::lround(test.view().pairs.error(i).value) + 110;
            if (cell >= 0 && cell < 180) ++counts.counts[static_cast<std::size_t>(cell)], ++counts.pairs;
        }
        all.push_back(counts);
        ++index;
    }
    return all;
}

std::vector<Named> agreementFigures() {
    const auto session = sessionWithFlags(2);
    const auto map = [&](int width) { return agreement::densityMap(session.tests[0].view().pairs, width); };
    std::vector<std::vector<report::SmallMap>> rows;
    for (const auto* device : {"band", "watch"}) {
        rows.emplace_back();
        for (const auto* activity : {"ergometer", "hill walk", "circuit"})
            rows.back().push_back(
                {std::string(device) + " \u00b7 " + activity, "MAE 8.0 (3.8 to 14)", map(2)});
    }
    trace::Pairs shifted = session.tests[0].view().pairs;
    for (std::size_t i = 0; i < shifted.size(); ++i)
        shifted.test[i].value = session.tests[0].view().pairs.error(i).value + 130;
    report::DifferenceData difference{agreement::densityMap(shifted, 1),
                                      130,
                                      false,
                                      report::Cells::Scale::Log,
                                      {"bias", -6.2, {{-8.0, -4.4}}},
                                      {"lower limit", -41.0, {{-52.0, -33.0}}},
                                      {"upper limit", 28.0, {{21.0, 38.0}}}};
    std::vector<report::DeviceRanges> ranges{{"band", 0, {}}, {"watch", 1, {}}};
    for (int lower = 80; lower <= 160; lower += 20) {
        ranges[0].ranges.push_back(
            {lower, 2.0 + (lower - 80) * 0.1, 900, {{1.0 + (lower - 80) * 0.05, 5.0 + (lower - 80) * 0.16}}});
        ranges[1].ranges.push_back(
            {lower, 1.6 + (lower - 80) * 0.04, 900, {{1.0, 3.0 + (lower - 80) * 0.06}}});
    }
    return {{"map", report::mapScene(map(1), "band", report::Cells::Scale::Log,
                                     wordsOf("Band against strap", "all rowing sessions, aligned"))},
            {"small-maps", report::smallMapsScene(rows, report::Cells::Scale::Log,
                                                  wordsOf("Band and watch, worn in the same sessions",
                                                          "same scales everywhere"))},
            {"difference",
             report::differenceScene(difference, wordsOf("Error of the band over heart rate", "aligned"))},
            {"distribution",
             report::distributionScene(errorsOf(session), wordsOf("How often which error", "aligned"))},
            {"error-by-range",
             report::errorByRangeScene(ranges, wordsOf("Error by heart-rate range", "aligned"))}};
}

std::vector<Named> comparisonFigures() {
    std::vector<report::Estimate> estimates;
    std::vector<report::PairedRow> paired;
    double value = 8;
    for (const auto* activity : {"rowing ergometer", "hill walk", "kettlebell circuit", "all"}) {
        estimates.push_back({activity, "band", 0, value, {{value * 0.5, value * 1.7}}, "4 sessions"});
        estimates.push_back({activity, "watch", 1, value * 0.6, {{value * 0.4, value}}, ""});
        paired.push_back(
            {activity, {value * 0.3, value * 0.5, value * 0.1, -0.2}, value * 0.25, {{-0.5, value * 0.6}}});
        value = value > 5 ? 2.6 : 9.9;
    }
    const auto row = [](std::string_view kind, double bpm) {
        return agreement::AttributionRow{kind, 100, BpmDelta{bpm}, Percent{10}};
    };
    const std::vector<report::AttributedDevice> attributed{
        {"band",
         0,
         {row("half-rate", 2.1), row("missed-rise", 1.9), row("lag", 0.7), row("within tolerance", 0.4),
          row("no flag", 0.9)}},
        {"watch",
         1,
         {row("spike", 0.2), row("cadence-lock", 1.8), row("damped", 0.9), row("within tolerance", 0.6),
          row("no flag", 0.7)}}};
    const std::vector<report::Statement> statements{
        {"mean absolute error", "6.0 bpm", "95 % interval 4.3 to 8.4 over 10 sessions",
         report::Paint::device(0)},
        {"within 5 bpm", "81 %", "of 31,870 paired seconds", report::Paint::device(0)},
        {"half of the error", "half rate", "and missed rises at the start of efforts",
         report::Paint::device(0)}};
    return {
        {"intervals",
         report::intervalsScene(estimates, "mean absolute error, bpm, with 95 % intervals over sessions",
                                report::SetLimit{5.0, "limit set"}, report::SetLimit{0.8, "two references"},
                                wordsOf("Mean absolute error by activity", "aligned"))},
        {"paired", report::pairedScene(paired, "band", "watch",
                                       wordsOf("The difference, session by session", "10 shared sessions"))},
        {"attribution",
         report::attributionScene(attributed, wordsOf("What each error is made of", "aligned"))},
        {"card", report::cardScene(statements, "Does not meet the limit of 5 bpm set beforehand",
                                   wordsOf("Band, all activities", "10 sessions of one wearer"))}};
}

void write(const QString& folder, const Named& named, const char* size, const char* ending, bool dark) {
    const auto figure = widgets::figureSizeOf(QString::fromLatin1(size), named.scene);
    if (!figure) return;
    const QString path = QStringLiteral("%1/%2-%3%4.%5")
                             .arg(folder, QLatin1String(named.name), QLatin1String(size),
                                  dark ? QStringLiteral("-dark") : QString(), QLatin1String(ending));
    const auto format = widgets::figureFormat(path);
    widgets::ExportStyle style;
    style.dark = dark;
    const auto bytes = widgets::sceneFile(named.scene, *figure, *format, style,
                                          {QStringLiteral("show_figures"), QStringLiteral("{}")});
    if (!widgets::writeWhole(path, bytes)) std::fprintf(stderr, "could not write %s\n", qPrintable(path));
}

}  // namespace

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen");
    const QGuiApplication application(argc, argv);
    if (argc < 2) return 2;
    const QString folder = QString::fromLocal8Bit(argv[1]);
    QDir().mkpath(folder);
    for (const auto& figures : {sessionFigures(), agreementFigures(), comparisonFigures()})
        for (const auto& named : figures) {
            write(folder, named, "1080p", "png", false);
            write(folder, named, "1080p", "png", true);
            write(folder, named, "120mm", "png", false);
            write(folder, named, "120mm", "svg", false);
            write(folder, named, "120mm", "pdf", false);
            write(folder, named, "vertical", "png", false);
        }
    return 0;
}
