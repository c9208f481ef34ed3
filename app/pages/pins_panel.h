#pragma once

#include "widgets/inputs/section.h"

class QLabel;
class QLineEdit;
class QListWidget;

namespace beatwitness::app {

class Annotations;
class Document;

/// "Pins": instants that stay marked, each with a note; two selected ones measure what lies between them.
class PinsPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit PinsPanel(Document& document, QWidget* parent = nullptr);

    /// Removes what is selected in the list, as one undo step.
    void removeSelected();
    /// What the two selected pins (or the only two) have between them, in words; empty otherwise.
    [[nodiscard]] QString measurement() const;

signals:
    void goTo(double seconds);

protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    void refresh();
    void refreshSelection();
    void commitNote();
    [[nodiscard]] QList<int> selectedRows() const;

    Document& document_;
    Annotations& annotations_;
    QLabel* none_;
    QListWidget* list_;
    QLineEdit* note_;
    QLabel* between_;
};

}  // namespace beatwitness::app
