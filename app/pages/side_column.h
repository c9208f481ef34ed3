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

protected:
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

private:
    QWidget* ring_;  ///< shows that the column has the keyboard
};

}  // namespace beatwitness::app
