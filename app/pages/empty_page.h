#pragma once

#include <QWidget>

class QAction;
class QLabel;
class QPushButton;

namespace beatwitness::app {

/// What the window shows without a session: one sentence, a main button, the sample pair where it is found.
class EmptyPage : public QWidget {
    Q_OBJECT

public:
    /// The buttons carry out the window's actions; those that are not visible get none.
    EmptyPage(QAction* open, QAction* sample, const QList<QAction*>& library, QWidget* parent = nullptr);

    /// A recording was read and waits for its partner; empty: none does.
    void setWaiting(const QString& text);
    /// `name` of the library at hand: where its sessions are, and how more come into it. Empty: none is open.
    void setLibrary(const QString& name);
    [[nodiscard]] QPushButton* mainButton() const { return open_; }

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QPushButton* open_;
    QLabel* waiting_;
    QLabel* sentence_ = nullptr;
    QWidget* library_ = nullptr;
};

}  // namespace beatwitness::app
