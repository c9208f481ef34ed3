#pragma once

#include <QLabel>

namespace beatwitness::widgets {

/// Labels of the workstation's few kinds of text. All wrap, can be selected with the mouse where they hold
/// facts, and follow the theme by themselves.
[[nodiscard]] QLabel* makeHeading(const QString& text, QWidget* parent);
[[nodiscard]] QLabel* makeStrong(const QString& text, QWidget* parent);
[[nodiscard]] QLabel* makeBody(const QString& text, QWidget* parent);
/// Quiet and small, still 4.5:1.
[[nodiscard]] QLabel* makeCaption(const QString& text, QWidget* parent);

/// A thin rule.
[[nodiscard]] QWidget* makeRule(QWidget* parent);

/// A quiet box in the colour `role`, rounded; its children are laid out by the caller.
class QuietBox : public QWidget {
    Q_OBJECT

public:
    explicit QuietBox(QPalette::ColorRole role, QWidget* parent = nullptr) : QWidget(parent), role_(role) {}

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QPalette::ColorRole role_;
};

}  // namespace beatwitness::widgets
