#pragma once

#include <QTimer>
#include <QWidget>

class QLabel;
class QProgressBar;
class QPushButton;

namespace beatwitness::widgets {

class TaskRunner;

/// What a TaskRunner is doing, with a button that cancels it. Appears only when the work takes longer than
/// half a second, so that quick work does not flicker.
class ProgressStrip : public QWidget {
    Q_OBJECT

public:
    static constexpr int showAfter_ms = 500;

    /// `runner` must outlive the strip.
    explicit ProgressStrip(TaskRunner& runner, QWidget* parent = nullptr);

private:
    void begin(const QString& what);
    void end();

    QTimer delay_;
    QLabel* what_;
    QProgressBar* bar_;
    QPushButton* cancel_;
};

}  // namespace beatwitness::widgets
