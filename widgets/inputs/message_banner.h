#pragma once

#include <QWidget>

class QLabel;
class QToolButton;

namespace beatwitness::widgets {

/// A message above the page: what failed, where, what was expected, what became of the data. Never modal;
/// stays until it is closed or replaced. Its details can be copied.
class MessageBanner : public QWidget {
    Q_OBJECT

public:
    enum class Tone { Error, Notice };

    explicit MessageBanner(QWidget* parent = nullptr);

    /// `headline` in one line, `text` in full; `details` go to the clipboard on demand (no button where
    /// empty).
    void showMessage(Tone tone, const QString& headline, const QString& text, const QString& details = {});
    [[nodiscard]] QString text() const;
    [[nodiscard]] QString headline() const;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    QLabel* headline_;
    QLabel* text_;
    QToolButton* copy_;
    QToolButton* close_;
    QString details_;
    Tone tone_ = Tone::Notice;
};

}  // namespace beatwitness::widgets
