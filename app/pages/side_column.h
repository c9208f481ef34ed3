#pragma once

#include <QScrollArea>

namespace beatwitness::app {

/// The right side of a page: sections one under another, scrolling where the window is too low for all of
/// them and never sideways.
class SideColumn : public QScrollArea {
    Q_OBJECT

public:
    SideColumn(const QString& name, const QList<QWidget*>& sections, QWidget* parent = nullptr);

    [[nodiscard]] QSize sizeHint() const override;
};

}  // namespace beatwitness::app
