#include "widgets/inputs/page_tabs.h"

#include <QPainter>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {

PageTabs::PageTabs(QWidget* parent) : QTabBar(parent) {
    setDrawBase(false);
    setExpanding(false);
    setFocusPolicy(Qt::TabFocus);
    setAccessibleName(tr("Page"));
}

QSize PageTabs::tabSizeHint(int index) const {
    const QFontMetrics metrics(strongFont());
    return {metrics.horizontalAdvance(tabText(index)) + 36, metrics.height() + 18};
}

void PageTabs::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const auto& palette = currentPalette();
    for (int i = 0; i < count(); ++i) {
        const QRect tab = tabRect(i);
        const bool inFront = i == currentIndex();
        painter.setFont(inFront ? strongFont() : font());
        painter.setPen(!isTabEnabled(i) ? palette.quietInk : inFront ? palette.ink : palette.quietInk);
        painter.drawText(tab, Qt::AlignCenter, tabText(i));
        if (inFront)
            painter.fillRect(QRect(tab.left() + 12, tab.bottom() - 2, tab.width() - 24, 3), palette.accent);
        if (inFront && hasFocus()) {
            painter.setPen(QPen(palette.accent, 2));
            painter.drawRect(tab.adjusted(4, 4, -4, -6));
        }
    }
}

}  // namespace beatwitness::widgets
