#include "app/document/edit_library.h"

#include "app/document/library_document.h"

namespace beatwitness::app {

EditLibrary::EditLibrary(LibraryDocument& document, const QString& what,
                         std::vector<library::RowValue> before, std::vector<library::RowValue> after,
                         Stored stored)
    : QUndoCommand(what),
      document_(document),
      before_(std::move(before)),
      after_(std::move(after)),
      isStored_(stored == Stored::Already) {}

void EditLibrary::undo() {
    store(before_, LibraryDocument::tr("undone: %1").arg(text()));
}

void EditLibrary::redo() {
    if (std::exchange(isStored_, false)) return;
    store(after_, text());
}

void EditLibrary::store(const std::vector<library::RowValue>& values, const QString& what) {
    const auto done = document_.store(values, what);
    if (done) return;
    setObsolete(true);
    document_.tellFailed(what, done.fault());
}

}  // namespace beatwitness::app
