#pragma once

#include <QWidget>

namespace beatwitness::widgets {

/// Laid over the window while files hang above it: says that letting go opens them. Takes no mouse of its
/// own.
class DropFrame : public QWidget {
    Q_OBJECT

public:
    explicit DropFrame(QWidget* parent);

    /// Covers the parent and shows `text`.
    void appear(const QString& text);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QString text_;
};

}  // namespace beatwitness::widgets
