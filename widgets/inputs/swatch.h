#pragma once

#include <QWidget>

namespace beatwitness::widgets {

/// A short upright bar in a trace's colour, beside a label in ink. Follows the theme.
class Swatch : public QWidget {
    Q_OBJECT

public:
    static constexpr int reference = -1;

    /// `trace`: index of the test, or reference.
    explicit Swatch(int trace, QWidget* parent = nullptr);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    int trace_;
};

}  // namespace beatwitness::widgets
