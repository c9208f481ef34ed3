#pragma once

#include <QWidget>

class QLabel;
class QMenuBar;

namespace beatwitness::widgets {

/// The bar under the window's title: menus at the left, the page switch in the middle, a rule below all of
/// it.
class TopBar : public QWidget {
    Q_OBJECT

public:
    /// Takes both in.
    TopBar(QMenuBar* menu, QWidget* tabs, QWidget* parent = nullptr);

    /// Where one is, at the right: library and project.
    void setPlace(const QString& place);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QLabel* place_;
};

}  // namespace beatwitness::widgets
