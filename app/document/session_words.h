#pragma once

#include <QString>
#include <QStringList>

#include "core/analysis/session_analysis.h"
#include "core/library/session_rows.h"
#include "core/trace/trace.h"

/// Sentences about a session, each true of the numbers it is made from. Nothing is computed here.
namespace beatwitness::app {

/// "band against strap".
[[nodiscard]] QString titleOf(const analysis::SessionAnalysis& session, int test);

/// Date and time, length, coverage and files in one line.
[[nodiscard]] QString subtitleOf(const analysis::SessionAnalysis& session, int test, bool aligned);

/// The same of a session of the library: when, who, and how the devices were worn.
[[nodiscard]] QString storedSubtitle(const library::SessionRow& row, const analysis::SessionAnalysis& session,
                                     int test);

/// What the agreement of one test says, for people who skip tables. One sentence each.
[[nodiscard]] QStringList plainWords(const analysis::SessionAnalysis& session, int test, bool aligned);

/// "aligned", "as recorded", "as recorded: not aligned".
[[nodiscard]] QString clockState(const analysis::TestAnalysis& test, bool aligned);

/// "CSV · 2,880 samples, 4 missing · every 1 s · 47:59".
[[nodiscard]] QString recordingFacts(const recording::RecordingFile& file,
                                     const trace::RecordingSummary& summary);

/// "2 Mar 2031, 09:00:00 UTC to 09:47:59", or why there is no date.
[[nodiscard]] QString spanWords(const recording::RecordingFile& file, const trace::RecordingSummary& summary);

/// True for text, whose layout is guessed and can be overruled.
[[nodiscard]] bool holdsTable(const recording::RecordingFile& file);

/// File name without folders.
[[nodiscard]] QString fileName(const recording::RecordingFile& file);

}  // namespace beatwitness::app
