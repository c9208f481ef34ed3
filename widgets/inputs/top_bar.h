#pragma once

#include <QWidget>

class QMenuBar;

namespace beatwitness::widgets {

/// The bar under the window's title: menus at the left, the page switch in the middle, a rule below all of
/// it.
class TopBar : public QWidget {
    Q_OBJECT

public:
    /// Takes both in.
    TopBar(QMenuBar* menu, QWidget* tabs, QWidget* parent = nullptr);

protected:
    void paintEvent(QPaintEvent* event) override;
};

}  // namespace beatwitness::widgets
