#pragma once

#include <optional>

#include "widgets/inputs/section.h"

class QComboBox;
class QLabel;
class QLineEdit;
class QListWidget;
class QPushButton;
class QWidget;

namespace beatwitness::app {

class Annotations;
class Document;

/// Seconds of session time as people type them: "75", "1:15", "1:02:03", "-0:05"; nothing where it is none.
[[nodiscard]] std::optional<double> parseSessionTime(const QString& text);

/// "Phases": as a list, the table twin of the lane, with fields for name, kind, begin and end of the one that
/// is selected; proposals can be taken over from here.
class PhasesPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit PhasesPanel(Document& document, QWidget* parent = nullptr);

    /// Puts the keyboard into the name of the selected phase.
    void rename();

signals:
    void goTo(double begin_s, double end_s);

private:
    QWidget* makeFields();
    QWidget* makeProposals();
    void refresh();
    void refreshFields();
    void refreshProposals();
    void commitFields();
    [[nodiscard]] std::optional<std::size_t> selectedRow() const;

    Document& document_;
    Annotations& annotations_;
    QLabel* none_;
    QListWidget* list_;
    QWidget* fields_ = nullptr;
    QLineEdit* name_ = nullptr;
    QComboBox* kind_ = nullptr;
    QLineEdit* begin_ = nullptr;
    QLineEdit* end_ = nullptr;
    QWidget* proposals_ = nullptr;
    QLabel* proposalsText_ = nullptr;
    bool filling_ = false;
};

}  // namespace beatwitness::app
