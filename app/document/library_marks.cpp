#include "app/document/library_marks.h"

namespace beatwitness::app {

std::optional<Fault> LibraryMarks::gone() const {
    if (library_ && library_->isOpen() && library_->path() == path_) return std::nullopt;
    return Fault{FaultCode::NotInLibrary,
                 Annotations::tr("its library is closed; what was marked is as it was stored").toStdString(),
                 path_.toStdString(),
                 {},
                 {}};
}

Result<Marks> LibraryMarks::load() {
    if (auto fault = gone()) return *fault;
    auto phases = library_->phases(session_);
    if (!phases) return phases.fault();
    auto pins = library_->pins(session_);
    if (!pins) return pins.fault();
    return Marks{std::move(*phases), std::move(*pins)};
}

Result<Done> LibraryMarks::store(const Marks& marks) {
    if (auto fault = gone()) return *fault;
    return library_->setMarks(session_, marks.phases, marks.pins);
}

}  // namespace beatwitness::app
