#pragma once

#include <QWidget>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/alignment/estimate_alignment.h"
#include "widgets/inputs/section.h"

class QLabel;
class QLineEdit;
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

signals:
    /// Another correction is being tried; nothing: it was taken back.
    void correctionTried(const std::optional<beatwitness::alignment::ClockCorrection>& correction);

private:
    void tryOffset(std::optional<Seconds> offset);
    void typeOffset(Seconds offset);
    [[nodiscard]] std::optional<Ppm> typedDrift() const;
    [[nodiscard]] alignment::Alignment withCurve();
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
    QLineEdit* drift_;
    QWidget* driftRow_;
    QPushButton* type_;
    /// The curve of a pair's last estimate, by the digests of both: what is set by hand brings none.
    std::map<std::string, std::vector<alignment::LossPoint>> curves_;
};

}  // namespace beatwitness::app
