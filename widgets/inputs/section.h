#pragma once

#include <QWidget>

class QLabel;
class QVBoxLayout;

namespace beatwitness::widgets {

/// A titled part of a side column: title at the left, a short state at the right, contents below, a rule
/// under all.
class Section : public QWidget {
    Q_OBJECT

public:
    explicit Section(const QString& title, QWidget* parent = nullptr);

    void setState(const QString& state);
    [[nodiscard]] QString state() const;
    /// Where contents are added.
    [[nodiscard]] QVBoxLayout* body() const { return body_; }

private:
    QLabel* state_;
    QVBoxLayout* body_;
};

}  // namespace beatwitness::widgets
