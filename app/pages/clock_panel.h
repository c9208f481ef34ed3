#pragma once

#include <QWidget>

#include "core/foundation/units.h"
#include "widgets/inputs/section.h"

class QLabel;
class QPushButton;

namespace beatwitness::widgets {
class LossCurveView;
class OffsetField;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

class Document;

/// "Clock": the correction of the test in front with its interval, what it does to the mean absolute error,
/// how the disagreement depends on it; where it was refused, why, and a field for typing one.
class ClockPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit ClockPanel(Document& document, QWidget* parent = nullptr);

    /// Shows the field for an offset and puts the keyboard there.
    void askForOffset();

private:
    void refresh();
    void showEstimate();
    void showErrors();

    Document& document_;
    QLabel* estimate_;
    QLabel* details_;
    QLabel* refusal_;
    widgets::LossCurveView* curve_;
    QLabel* recordedError_;
    QLabel* alignedError_;
    QLabel* recordedName_;
    QLabel* alignedName_;
    widgets::OffsetField* offset_;
    QPushButton* type_;
};

}  // namespace beatwitness::app
