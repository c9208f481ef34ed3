#pragma once

#include <QWidget>

class QLabel;
class QToolButton;

namespace beatwitness::app {

class Document;

/// One line that says what is filtered and what the filtered seconds say; there only while something is.
class FilterBar : public QWidget {
    Q_OBJECT

public:
    explicit FilterBar(Document& document, QWidget* parent = nullptr);

    [[nodiscard]] QString text() const;

signals:
    /// To the next (1) or previous (-1) stretch that passes.
    void stepped(int by);

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    void refresh();

    Document& document_;
    QLabel* words_;
    QLabel* numbers_;
};

}  // namespace beatwitness::app
