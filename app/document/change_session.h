#pragma once

#include <QUndoCommand>

#include "app/document/session_plan.h"

namespace beatwitness::app {

class Document;

/// One change of the session: keeps the side that is not in force, swapped by undo and redo.
class ChangeSession : public QUndoCommand {
public:
    /// `document` owns the stack that owns the command.
    ChangeSession(Document& document, Snapshot before, Snapshot after, const QString& what);

    void undo() override;
    void redo() override;

private:
    Document& document_;
    Snapshot before_;
    Snapshot after_;
};

}  // namespace beatwitness::app
