#include "app/document/phase_copies.h"

#include "app/document/library_marks.h"
#include "core/trace/trace.h"

namespace beatwitness::app {

using namespace library;

namespace {

Result<std::optional<PhaseCopy>> copyInto(Library& reader, const SessionRow& row,
                                          const trace::PhasePlan& from, ReferenceTime t0, Micros later) {
    const auto file = reader.loadReference(row);
    if (!file) return file.fault();
    const auto reference = trace::laidOn<ReferenceClock>(trace::traceOf(file->recording), Micros{0});
    if (reference.empty()) return std::optional<PhaseCopy>{};
    const auto span = reference.span();
    auto phases = trace::shiftedInto(from, span.begin - t0 + later, span);
    if (phases.empty()) return std::optional<PhaseCopy>{};
    auto there = reader.phases(row.id);
    if (!there) return there.fault();
    auto pins = reader.pins(row.id);
    if (!pins) return pins.fault();
    return std::optional{PhaseCopy{row.id, {std::move(*there), *pins}, {std::move(phases), *pins}}};
}

}  // namespace

Result<std::vector<PhaseCopy>> copiedPhases(const std::string& path, const trace::PhasePlan& from,
                                            ReferenceTime t0, Micros later,
                                            const std::vector<LibraryContents::Session>& into,
                                            const RunControl& run) {
    auto reader = Library::open(path, {.write = false});
    if (!reader) return reader.fault();
    std::vector<PhaseCopy> copies;
    for (std::size_t i = 0; i < into.size(); ++i) {
        if (run.stopRequested()) return cancelled();
        auto copy = copyInto(*reader, *into[i], from, t0, later);
        if (!copy) return copy.fault();
        if (*copy) copies.push_back(std::move(**copy));
        run.progress(static_cast<double>(i + 1) / static_cast<double>(into.size()));
    }
    return copies;
}

void storePhaseCopies(Annotations& annotations, LibraryDocument& library, QUndoStack& undo,
                      std::vector<PhaseCopy> copies, const QString& what) {
    if (copies.empty()) return;
    undo.beginMacro(what);
    for (auto& copy : copies)
        annotations.changeElsewhere(std::make_shared<LibraryMarks>(library, copy.session),
                                    std::move(copy.before), std::move(copy.after), what);
    undo.endMacro();
}

}  // namespace beatwitness::app
