#pragma once

#include <QDialog>
#include <optional>

#include "core/analysis/session_analysis.h"
#include "core/library/ids.h"

class QLabel;
class QPushButton;
class QTreeWidget;
class QTreeWidgetItem;

namespace beatwitness::app {

class Document;
class LibraryDocument;

/// Every threshold with value, unit, reason and source. A value that is typed counts at once, as an undo
/// step: of the project where there is one, else of the loose pair at hand.
class ThresholdsDialog : public QDialog {
    Q_OBJECT

public:
    ThresholdsDialog(Document& document, LibraryDocument& library, std::optional<library::ProjectId> project,
                     QWidget* parent);

private:
    void fill();
    void edited(QTreeWidgetItem* item, int column);
    void reset(bool all);
    void store(const analysis::Settings& settings, const QString& what);
    [[nodiscard]] analysis::Settings settings() const;
    [[nodiscard]] bool ofProject() const;

    Document& document_;
    LibraryDocument& library_;
    std::optional<library::ProjectId> project_;
    QLabel* head_;
    QTreeWidget* table_;
    QLabel* refusal_;
    QPushButton *resetOne_, *resetAll_;
    bool filling_ = false;
};

}  // namespace beatwitness::app
