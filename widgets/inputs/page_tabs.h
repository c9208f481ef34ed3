#pragma once

#include <QTabBar>

namespace beatwitness::widgets {

/// The page switch of the top bar: words, the one in front underlined in the accent. Arrow keys as in any tab
/// bar.
class PageTabs : public QTabBar {
    Q_OBJECT

public:
    explicit PageTabs(QWidget* parent = nullptr);

protected:
    void paintEvent(QPaintEvent* event) override;
    [[nodiscard]] QSize tabSizeHint(int index) const override;
};

}  // namespace beatwitness::widgets
