#pragma once

#include <QUndoCommand>
#include <vector>

#include "core/library/particulars.h"

namespace beatwitness::app {

class LibraryDocument;

/// One change of rows in the library: keeps which rows, what they held and what they hold. What cannot be
/// stored makes the step obsolete, and the document tells why.
class EditLibrary : public QUndoCommand {
public:
    enum class Stored { No, Already };

    /// `document` owns the stack's library. With Stored::Already the first redo has nothing to do.
    EditLibrary(LibraryDocument& document, const QString& what, std::vector<library::RowValue> before,
                std::vector<library::RowValue> after, Stored stored);

    void undo() override;
    void redo() override;

private:
    void store(const std::vector<library::RowValue>& values, const QString& what);

    LibraryDocument& document_;
    std::vector<library::RowValue> before_;
    std::vector<library::RowValue> after_;
    bool isStored_;
};

}  // namespace beatwitness::app
