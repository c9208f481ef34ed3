#pragma once

#include <QDialog>
#include <vector>

#include "core/library/particulars.h"

class QPushButton;
class QTreeWidget;

namespace beatwitness::app {

class LibraryDocument;

/// What was deleted and not yet removed for good: brought back one by one, as an undo step, or all removed.
class DeletedDialog : public QDialog {
    Q_OBJECT

public:
    explicit DeletedDialog(LibraryDocument& library, QWidget* parent = nullptr);

private:
    void fill();
    void restore();
    void askRemoval();

    LibraryDocument& library_;
    std::vector<library::DeletedRow> rows_;
    QTreeWidget* list_;
    QPushButton* restore_;
    QPushButton* remove_;
};

}  // namespace beatwitness::app
