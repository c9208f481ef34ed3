#pragma once

#include <QList>

class QAction;
class QWidget;

namespace beatwitness::app {

/// Every shortcut, read from the actions themselves, and the keys of the plots.
void showShortcuts(const QList<QAction*>& actions, QWidget* parent);

/// Version, what it is for, cautions, licence.
void showAbout(QWidget* parent);

}  // namespace beatwitness::app
