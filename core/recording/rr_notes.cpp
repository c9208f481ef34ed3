#include "core/recording/rr_notes.h"

#include <fmt/format.h>

namespace beatwitness::recording::rr {
namespace {

using text::Dialect;
using text::TimeKind;

void noteColumns(RrLayout& layout, const ReadOptions& options) {
    const Dialect& dialect = layout.dialect;
    auto& guessed = layout.guessed;
    if (layout.intervals) {
        if (!options.rateColumn)
            guessed.emplace_back("interval column", dialect.columnText(*layout.intervals));
        guessed.emplace_back("interval unit", layout.toMilliseconds == 1.0 ? "milliseconds" : "seconds");
    } else {
        guessed.emplace_back("layout", layout.labels ? "times of beats with labels" : "times of beats");
    }
    if (layout.labels) guessed.emplace_back("label column", dialect.columnText(*layout.labels));
    if (layout.time.kind == TimeKind::None) {
        guessed.emplace_back("time column", "none: intervals follow one another");
        return;
    }
    if (!options.timeColumn)
        guessed.emplace_back("time column", layout.isCounted
                                                ? fmt::format("none: {} only counts the rows",
                                                              dialect.columnText(layout.time.column))
                                                : dialect.columnText(layout.time.column));
    if (!layout.isCounted) guessed.emplace_back("time kind", layout.time.text());
}

}  // namespace

void noteLayout(RrLayout& layout, const ReadOptions& options) {
    const Dialect& dialect = layout.dialect;
    auto& guessed = layout.guessed;
    if (!options.separator && dialect.columns > 1)
        guessed.emplace_back("separator", text::separatorName(dialect.separator));
    guessed.emplace_back("decimal mark", dialect.decimalMark == ',' ? "comma" : "point");
    guessed.emplace_back("header", dialect.headerLine ? fmt::format("line {}", *dialect.headerLine) : "none");
    noteColumns(layout, options);
    const text::Row& first = dialect.sample.front();
    if (dialect.header.empty() && dialect.dataLine > 1 && first.line > 1 && dialect.preamble.empty() &&
        layout.rowsToSkip == 0)
        guessed.emplace_back("lines above", fmt::format("left out up to line {}", first.line - 1));
    if (layout.clock == ClockBasis::ZoneUnknown) {
        guessed.emplace_back("zone", "unknown, laid on UTC");
        layout.warnings.emplace_back(
            "the times name no zone; they were laid on UTC provisionally (--zone says otherwise)");
    }
}

}  // namespace beatwitness::recording::rr
