#include "widgets/plots/agreement_map_view.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QVBoxLayout>

#include "widgets/format/number_text.h"
#include "widgets/plots/agreement_map_canvas.h"

namespace beatwitness::widgets {

AgreementMapView::AgreementMapView(QWidget* parent) : QWidget(parent), canvas_(new AgreementMapCanvas(this)) {
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(canvas_);
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setAccessibleName(tr("Agreement map"));
    describe();
}

AgreementMapView::~AgreementMapView() = default;

void AgreementMapView::setPairs(std::shared_ptr<const analysis::SessionAnalysis> session, int test,
                                bool aligned) {
    canvas_->setPairs(std::move(session), test, aligned);
    showCell(std::nullopt);
}

void AgreementMapView::setPooled(std::vector<MapPart> sessions, const QString& device, int colour) {
    canvas_->setPooled(std::move(sessions), device, colour);
    showCell(std::nullopt);
}

void AgreementMapView::clear() {
    setPairs(nullptr, 0, false);
}

void AgreementMapView::setCellWidth(int bpm) {
    if ((bpm != 1 && bpm != 2 && bpm != 5) || bpm == cellWidth()) return;
    canvas_->setCellWidth(bpm);
    showCell(std::nullopt);
}

int AgreementMapView::cellWidth() const {
    return canvas_->cellWidth();
}

void AgreementMapView::setScale(ColourScale scale) {
    canvas_->setScale(scale);
}

ColourScale AgreementMapView::scale() const {
    return canvas_->scale();
}

void AgreementMapView::setCountsSessions(bool sessions) {
    canvas_->setCountsSessions(sessions);
    showCell(std::nullopt);
}

void AgreementMapView::setCursorPair(std::optional<std::pair<double, double>> pair) {
    canvas_->setCursorPair(pair);
}

void AgreementMapView::setLit(std::shared_ptr<const trace::Pairs> pairs) {
    canvas_->setLit(std::move(pairs));
}

void AgreementMapView::setArea(std::optional<agreement::RateBox> box,
                               std::optional<agreement::GuideBand> band) {
    hasBox_ = box.has_value();
    if (!box) corner_.reset();
    canvas_->setArea(box, band);
}

QString AgreementMapView::readout() const {
    return readout_;
}

QSize AgreementMapView::sizeHint() const {
    const int line = fontMetrics().height();
    return {30 * line, 31 * line};
}

QSize AgreementMapView::minimumSizeHint() const {
    const int line = fontMetrics().height();
    return {15 * line, 16 * line};
}

void AgreementMapView::showCell(std::optional<std::pair<int, int>> cell) {
    canvas_->setCell(cell);
    const QString text = cell ? canvas_->textOf(*cell) : QString();
    const bool changed = text != readout_;
    readout_ = text;
    describe();
    if (changed) emit readoutChanged(readout_);
}

void AgreementMapView::keyPressEvent(QKeyEvent* event) {
    int right = 0, up = 0;
    switch (event->key()) {
        case Qt::Key_Left:
            right = -1;
            break;
        case Qt::Key_Right:
            right = 1;
            break;
        case Qt::Key_Up:
            up = 1;
            break;
        case Qt::Key_Down:
            up = -1;
            break;
        case Qt::Key_Return:
        case Qt::Key_Enter:
            return emit entered();
        case Qt::Key_Escape:
            if (canvas_->cell()) return showCell(std::nullopt);
            [[fallthrough]];
        default:
            return QWidget::keyPressEvent(event);
    }
    // A page's worth where Control is held: 10 bpm.
    const int step = event->modifiers().testFlag(Qt::ControlModifier) ? std::max(1, 10 / cellWidth()) : 1;
    const auto cell = canvas_->cell();
    if (!cell) return showCell(canvas_->fullestCell());
    const auto next = canvas_->inSight({cell->first + right * step, cell->second + up * step});
    if (event->modifiers().testFlag(Qt::ShiftModifier)) {
        if (!corner_) corner_ = cell;
        selectTo(next);
    } else {
        corner_.reset();
    }
    showCell(next);
}

void AgreementMapView::selectTo(std::pair<int, int> cell) {
    hasBox_ = true;
    emit boxSelected(canvas_->boxOf(*corner_, cell));
}

void AgreementMapView::mousePressEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton) return;
    setFocus(Qt::MouseFocusReason);
    corner_ = canvas_->cellAt(event->position());
}

void AgreementMapView::mouseMoveEvent(QMouseEvent* event) {
    const auto cell = canvas_->cellAt(event->position());
    if (event->buttons().testFlag(Qt::LeftButton) && corner_ && cell && cell != corner_) selectTo(*cell);
    showCell(cell);
}

void AgreementMapView::mouseReleaseEvent(QMouseEvent* event) {
    if (event->button() != Qt::LeftButton) return;
    const bool click = corner_ && corner_ == canvas_->cellAt(event->position());
    corner_.reset();
    if (click && hasBox_) emit boxSelected(std::nullopt);
}

void AgreementMapView::leaveEvent(QEvent*) {
    showCell(std::nullopt);
}

void AgreementMapView::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    focusShown_ = showsFocus(event->reason(), focusShown_);
    canvas_->setFocusRing(focusShown_);
}

void AgreementMapView::focusOutEvent(QFocusEvent* event) {
    QWidget::focusOutEvent(event);
    canvas_->setFocusRing(false);
}

void AgreementMapView::changeEvent(QEvent* event) {
    QWidget::changeEvent(event);
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange ||
        event->type() == QEvent::StyleChange)
        canvas_->restyle();
}

void AgreementMapView::describe() {
    const auto pairs = canvas_->seconds();
    if (pairs == 0) return setAccessibleDescription(tr("Agreement map, empty"));
    QString text = tr("Agreement map of %1 against the reference, %2 pairs")
                       .arg(canvas_->testLabel(), countText(static_cast<std::size_t>(pairs)));
    if (!readout_.isEmpty()) text += tr("; ") + readout_;
    setAccessibleDescription(text);
}

}  // namespace beatwitness::widgets
