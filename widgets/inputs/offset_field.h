#pragma once

#include <QWidget>
#include <optional>

#include "core/foundation/units.h"

class QLabel;
class QLineEdit;
class QPushButton;

namespace beatwitness::widgets {

/// A clock offset as people type it: "+3.4", "-12", "1:05.5", "-2:00:00" (seconds; minutes and seconds; hours
/// too), with a decimal point or comma, any minus sign, an "s" behind it. Nothing where it is none or beyond
/// 400 days.
[[nodiscard]] std::optional<Seconds> parseOffset(const QString& text);

/// A field for a clock offset with Apply right there. Says what is wrong while it cannot be applied.
class OffsetField : public QWidget {
    Q_OBJECT

public:
    explicit OffsetField(QWidget* parent = nullptr);

    void setOffset(std::optional<Seconds> offset);
    /// Puts the keyboard into the field, its text selected.
    void takeFocus();

signals:
    /// Enter or Apply with a readable offset.
    void offsetTyped(beatwitness::Seconds offset);

private:
    void judge(const QString& text);
    void apply();

    QLineEdit* edit_;
    QPushButton* apply_;
    QLabel* hint_;
};

}  // namespace beatwitness::widgets
