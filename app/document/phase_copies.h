#pragma once

#include <QPointer>
#include <memory>
#include <vector>

#include "app/document/annotations.h"
#include "app/document/library_document.h"

namespace beatwitness::app {

/// A session that a plan of phases is copied to: what it has, and what it is to have. Its pins stay.
struct PhaseCopy {
    library::SessionId session;
    Marks before, after;
};

/// The phases of `from` laid into each of `into`: as far from the first sample of its reference as they are
/// from `t0` in their own session, `later` added; what lies outside the recording goes. Opens the library at
/// `path` once more, for reading; some milliseconds a session. A session that nothing falls into is left out.
/// Faults: those of reading, Cancelled.
[[nodiscard]] Result<std::vector<PhaseCopy>> copiedPhases(const std::string& path,
                                                          const trace::PhasePlan& from, ReferenceTime t0,
                                                          Micros later,
                                                          const std::vector<LibraryContents::Session>& into,
                                                          const RunControl& run);

/// Stores them as one undo step named `what`.
void storePhaseCopies(Annotations& annotations, LibraryDocument& library, QUndoStack& undo,
                      std::vector<PhaseCopy> copies, const QString& what);

}  // namespace beatwitness::app
