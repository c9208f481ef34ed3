#pragma once

#include <QWidget>
#include <vector>

#include "widgets/plots/line_image.h"

namespace beatwitness::widgets {

/// A small picture of a few traces on one time axis, with their lowest and highest rate and first and last
/// time: to recognise a recording by. No handles.
class TraceStrip : public QWidget {
    Q_OBJECT

public:
    explicit TraceStrip(QWidget* parent = nullptr);

    /// Undermost first. `words` say for screen readers what is shown; `empty` stands there without a line.
    void setLines(std::vector<DrawnLine> lines, const QString& words, const QString& empty = {});
    [[nodiscard]] std::size_t lineCount() const { return lines_.size(); }

    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::vector<DrawnLine> lines_;
    QString empty_;
    LineImage image_;
};

}  // namespace beatwitness::widgets
