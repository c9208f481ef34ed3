#include "widgets/figures/figure_preview.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <QScrollBar>
#include <algorithm>
#include <cmath>

#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

constexpr int redrawAfter_ms = 60;  ///< of the last change of size
constexpr double rim = 16.0;        ///< around a fitted figure
constexpr int chequer = 8;
constexpr double actionSafe = 0.035;   ///< SMPTE ST 2046-1: 93 % of the frame is action-safe
constexpr double most = 16'000'000.0;  ///< pixels that are drawn; a larger picture is shown smaller

void drawChequerboard(QPainter& painter, const QRectF& frame, bool dark) {
    QPixmap tile(2 * chequer, 2 * chequer);
    tile.fill(dark ? QColor(0x2a, 0x2f, 0x33) : QColor(0xff, 0xff, 0xff));
    QPainter tiling(&tile);
    const QColor other = dark ? QColor(0x35, 0x3b, 0x40) : QColor(0xe6, 0xe6, 0xe2);
    tiling.fillRect(0, 0, chequer, chequer, other);
    tiling.fillRect(chequer, chequer, chequer, chequer, other);
    tiling.end();
    painter.drawTiledPixmap(frame, tile, QPointF(0, 0));
}

}  // namespace

FigurePreview::FigurePreview(QWidget* parent) : QAbstractScrollArea(parent) {
    setAccessibleName(tr("Preview"));
    setFrameShape(QFrame::NoFrame);
    setFocusPolicy(Qt::StrongFocus);
    redraw_.setSingleShot(true);
    redraw_.setInterval(redrawAfter_ms);
    connect(&redraw_, &QTimer::timeout, this, &FigurePreview::draw);
}

void FigurePreview::showFigure(std::shared_ptr<const report::Scene> scene, const FigureSize& size,
                               const ExportStyle& style) {
    if (scene_ != scene && (!scene_ || scene_->title != scene->title)) image_ = {};
    scene_ = std::move(scene);
    size_ = size;
    style_ = style;
    words_.clear();
    setAccessibleName(tr("Preview: %1").arg(QString::fromStdString(scene_->title)));
    setAccessibleDescription(QString::fromStdString(scene_->caption));
    layOutBars();
    draw();
}

void FigurePreview::showWords(const QString& words) {
    runner_.cancel();
    redraw_.stop();
    scene_.reset();
    image_ = {};
    words_ = words;
    setAccessibleName(tr("Preview"));
    setAccessibleDescription(words);
    layOutBars();
    viewport()->update();
}

void FigurePreview::setZoom(Zoom zoom) {
    if (zoom_ == zoom) return;
    zoom_ = zoom;
    layOutBars();
    draw();
    viewport()->update();
}

void FigurePreview::setMargins(bool shown) {
    margins_ = shown;
    viewport()->update();
}

QSizeF FigurePreview::shownSize() const {
    if (size_.paper.isEmpty()) return {};
    if (zoom_ == Zoom::TrueSize) {
        if (size_.use == FigureSize::Use::Print) return size_.paper * logicalDpiX() / 72.0;
        return QSizeF(size_.pixels()) / devicePixelRatioF();
    }
    const QSizeF room(std::max(40.0, viewport()->width() - 2 * rim),
                      std::max(40.0, viewport()->height() - 2 * rim));
    return size_.paper.scaled(room, Qt::KeepAspectRatio);
}

double FigurePreview::scale() const {
    return shownSize().width() * devicePixelRatioF() / std::max(1, size_.pixels().width());
}

void FigurePreview::layOutBars() {
    const bool scrolls = scene_ && zoom_ == Zoom::TrueSize;
    const QSize whole = scrolls ? (shownSize() + QSizeF(2 * rim, 2 * rim)).toSize() : QSize();
    horizontalScrollBar()->setRange(0, std::max(0, whole.width() - viewport()->width()));
    verticalScrollBar()->setRange(0, std::max(0, whole.height() - viewport()->height()));
    horizontalScrollBar()->setPageStep(viewport()->width());
    verticalScrollBar()->setPageStep(viewport()->height());
    horizontalScrollBar()->setSingleStep(fontMetrics().height());
    verticalScrollBar()->setSingleStep(fontMetrics().height());
}

void FigurePreview::draw() {
    redraw_.stop();
    if (!scene_ || viewport()->size().isEmpty()) return;
    auto size = size_;
    const QSizeF device = shownSize() * devicePixelRatioF();
    size.pixelsPerPoint = device.width() / size.paper.width();
    const double pixels = device.width() * device.height();
    if (pixels > most) size.pixelsPerPoint *= std::sqrt(most / pixels);
    runner_.run(
        tr("Drawing the preview …"),
        [scene = scene_, size, style = style_](const RunControl&) { return sceneImage(*scene, size, style); },
        [this](const QImage& image) {
            image_ = image;
            viewport()->update();
            emit drawn();
        });
}

void FigurePreview::drawMargins(QPainter& painter, const QRectF& frame) const {
    const double point = frame.width() / size_.paper.width();
    const QRectF title =
        frame.adjusted(size_.margin.width() * point, (size_.margin.height() + size_.extraTop) * point,
                       -size_.margin.width() * point, -(size_.margin.height() + size_.extraBottom) * point);
    const auto line = [&](const QRectF& box, Qt::PenStyle style) {
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(currentPalette().paper, 3.0));
        painter.drawRect(box);
        painter.setPen(QPen(currentPalette().accent, 1.0, style));
        painter.drawRect(box);
    };
    line(title, Qt::SolidLine);
    if (size_.use == FigureSize::Use::Video)
        line(frame.adjusted(frame.width() * actionSafe, frame.height() * actionSafe,
                            -frame.width() * actionSafe, -frame.height() * actionSafe),
             Qt::DashLine);
}

void FigurePreview::paintEvent(QPaintEvent*) {
    QPainter painter(viewport());
    painter.fillRect(viewport()->rect(), palette().window());
    if (!scene_) {
        painter.setPen(palette().color(QPalette::WindowText));
        painter.drawText(viewport()->rect().adjusted(24, 24, -24, -24), Qt::AlignCenter | Qt::TextWordWrap,
                         words_);
        return;
    }
    QRectF frame(QPointF(0, 0), shownSize());
    frame.moveCenter(QRectF(viewport()->rect()).center());
    if (horizontalScrollBar()->maximum() > 0) frame.moveLeft(rim - horizontalScrollBar()->value());
    if (verticalScrollBar()->maximum() > 0) frame.moveTop(rim - verticalScrollBar()->value());
    // On whole pixels, so that a picture of true size is not blurred.
    frame.moveTopLeft(frame.topLeft().toPoint());
    if (style_.transparent) drawChequerboard(painter, frame, style_.dark);
    if (!image_.isNull()) {
        const bool exact = (QSizeF(image_.size()) / devicePixelRatioF() - frame.size()).isNull();
        painter.setRenderHint(QPainter::SmoothPixmapTransform, !exact);
        painter.drawImage(frame, image_);
    }
    painter.setPen(currentPalette().hairline);
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(frame.adjusted(-0.5, -0.5, 0.5, 0.5));
    if (margins_) drawMargins(painter, frame);
    if (!hasFocus()) return;
    painter.setPen(QPen(currentPalette().accent, 2.0));
    painter.drawRect(viewport()->rect().adjusted(1, 1, -1, -1));
}

void FigurePreview::resizeEvent(QResizeEvent* event) {
    QAbstractScrollArea::resizeEvent(event);
    layOutBars();
    if (zoom_ == Zoom::Fit) redraw_.start();
}

void FigurePreview::changeEvent(QEvent* event) {
    if (event->type() == QEvent::PaletteChange) viewport()->update();
    QAbstractScrollArea::changeEvent(event);
}

void FigurePreview::mousePressEvent(QMouseEvent* event) {
    dragFrom_ = event->pos();
}

void FigurePreview::mouseMoveEvent(QMouseEvent* event) {
    if (!(event->buttons() & Qt::LeftButton)) return;
    const QPoint by = event->pos() - dragFrom_;
    dragFrom_ = event->pos();
    horizontalScrollBar()->setValue(horizontalScrollBar()->value() - by.x());
    verticalScrollBar()->setValue(verticalScrollBar()->value() - by.y());
}

void FigurePreview::keyPressEvent(QKeyEvent* event) {
    auto* bar = event->key() == Qt::Key_Left || event->key() == Qt::Key_Right ? horizontalScrollBar()
                                                                              : verticalScrollBar();
    switch (event->key()) {
        case Qt::Key_Left:
        case Qt::Key_Up:
            return bar->triggerAction(QAbstractSlider::SliderSingleStepSub);
        case Qt::Key_Right:
        case Qt::Key_Down:
            return bar->triggerAction(QAbstractSlider::SliderSingleStepAdd);
        case Qt::Key_PageUp:
            return bar->triggerAction(QAbstractSlider::SliderPageStepSub);
        case Qt::Key_PageDown:
            return bar->triggerAction(QAbstractSlider::SliderPageStepAdd);
        default:
            QAbstractScrollArea::keyPressEvent(event);
    }
}

QSize FigurePreview::sizeHint() const {
    return {fontMetrics().averageCharWidth() * 60, fontMetrics().height() * 24};
}

}  // namespace beatwitness::widgets
