#include "app/document/change_session.h"

#include "app/document/document.h"

namespace beatwitness::app {

ChangeSession::ChangeSession(Document& document, Snapshot before, Snapshot after, const QString& what)
    : QUndoCommand(what), document_(document), before_(std::move(before)), after_(std::move(after)) {}

void ChangeSession::undo() {
    document_.restore(before_);
}

void ChangeSession::redo() {
    document_.restore(after_);
}

}  // namespace beatwitness::app
