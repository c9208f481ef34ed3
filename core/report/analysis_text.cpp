#include <fmt/format.h>

#include <filesystem>

#include "core/foundation/text.h"
#include "core/report/analysis_json.h"
#include "core/report/cautions.h"

namespace beatwitness::report {
namespace {

using agreement::AgreementBlock;

template <class Unit>
std::string figure(const std::optional<Unit>& value, int digits) {
    if (!value) return "-";
    if constexpr (std::is_arithmetic_v<Unit>)
        return fmt::format("{:.{}f}", *value, digits);
    else
        return fmt::format("{:.{}f}", value->value, digits);
}

std::string clockText(const alignment::Alignment& alignment) {
    if (!alignment.applied())
        return alignment.refusedBecause ? "as recorded; alignment refused: " + *alignment.refusedBecause
                                        : "as recorded";
    std::string text = fmt::format("{:+.2f} s added to its clock", alignment.correction->offset.value);
    if (const auto& interval = alignment.offsetInterval_s)
        text += fmt::format(" (95 % interval {:+.2f} to {:+.2f} s)", interval->lower, interval->upper);
    if (alignment.correction->drift.value != 0.0)
        text += fmt::format(", drift {:+.1f} ppm", alignment.correction->drift.value);
    return text;
}

struct Row {
    const char* label;
    std::string recorded;
    std::string aligned;
};

/// `figureOf` gives one number of a block as text.
template <class FigureOf>
Row row(const char* label, const analysis::TestAnalysis& test, FigureOf figureOf) {
    return {label, figureOf(test.asRecorded.agreement),
            test.aligned ? figureOf(test.aligned->agreement) : "-"};
}

std::vector<Row> rowsOf(const analysis::TestAnalysis& test) {
    const auto of = [&test](const char* label, auto member, int digits) {
        return row(label, test, [=](const AgreementBlock& block) { return figure(block.*member, digits); });
    };
    return {
        row("seconds paired", test,
            [](const AgreementBlock& block) { return fmt::format("{}", block.pairs); }),
        of("coverage, %", &AgreementBlock::coverage, 1),
        of("bias, bpm", &AgreementBlock::bias, 2),
        of("sd, bpm", &AgreementBlock::sd, 2),
        of("MAE, bpm", &AgreementBlock::mae, 2),
        of("MAPE, %", &AgreementBlock::mape, 2),
        of("RMSE, bpm", &AgreementBlock::rmse, 2),
        row("limits, bpm", test,
            [](const AgreementBlock& block) {
                return block.loaLower ? figure(block.loaLower, 1) + " .. " + figure(block.loaUpper, 1) : "-";
            }),
        of("Pearson r", &AgreementBlock::pearsonR, 3),
        of("concordance", &AgreementBlock::ccc, 3),
        of("within 5 bpm, %", &AgreementBlock::within5Bpm, 1),
        of("within 10 bpm, %", &AgreementBlock::within10Bpm, 1),
        of("within 10 %, %", &AgreementBlock::within10Pct, 1),
        of("half-rate, %", &AgreementBlock::halfRate, 1),
    };
}

std::string testText(const analysis::TestAnalysis& test) {
    std::string text = fmt::format("\n{}\n  clock: {}\n\n", test.file.file, clockText(test.alignment));
    text += fmt::format("  {:<18}{:>16}{:>16}\n", "", "as recorded", "aligned");
    for (const auto& row : rowsOf(test))
        text += fmt::format("  {:<18}{:>16}{:>16}\n", row.label, row.recorded, row.aligned);
    if (test.flags.empty()) return text;
    text += "\n  flags (session time)\n";
    for (const auto& flag : test.flags)
        text +=
            fmt::format("  {:>8} to {:>8}  {:<9}  {:<10}  {}\n", sessionClockText(secondsOf(flag.span.begin)),
                        sessionClockText(secondsOf(flag.span.end)),
                        flag.on == flags::FlaggedTrace::Test ? "device" : "reference",
                        flags::flagKindName(flag.kind), flag.because);
    return text;
}

}  // namespace

std::string analysisText(const analysis::SessionAnalysis& session) {
    std::string text =
        fmt::format("reference {}: {} s with heart rate", session.reference.file, session.referenceSeconds);
    if (session.excludedReferenceSeconds > 0)
        text += fmt::format(", {} s of reference faults left out", session.excludedReferenceSeconds);
    text += "\n";
    for (const auto& test : session.tests)
        text += testText(test);
    text += fmt::format("\nError is test minus reference. {}\n", cautionLine());
    return text;
}

}  // namespace beatwitness::report
