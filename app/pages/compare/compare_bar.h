#pragma once

#include <QWidget>
#include <vector>

#include "core/report/figures/compared_view.h"

class QComboBox;
class QDoubleSpinBox;
class QToolButton;

namespace beatwitness::app {

/// What is held against what, and under which choices.
class CompareBar : public QWidget {
    Q_OBJECT

public:
    explicit CompareBar(QWidget* parent = nullptr);

    /// Shows the ask, with the sides to choose from; tells nothing.
    void showAsk(const report::ComparedAsk& ask, const std::vector<evaluation::ComparedSide>& sides);
    /// A further button at the right end.
    void addButton(QToolButton* button);
    void swapSides();

signals:
    void asked(const beatwitness::report::ComparedAsk& ask);

private:
    QComboBox* addSide(const QString& name, const char* objectName);
    QComboBox* addChoice(const QString& name, const char* objectName);
    void fillSides(QComboBox& box, const std::vector<evaluation::ComparedSide>& sides,
                   const std::string& current);
    void tell();

    report::ComparedAsk ask_;
    std::vector<evaluation::ComparedSide> sides_;
    QComboBox *a_, *b_, *clock_, *epoch_, *faults_;
    QDoubleSpinBox* margin_;
    QToolButton* swap_;
};

}  // namespace beatwitness::app
