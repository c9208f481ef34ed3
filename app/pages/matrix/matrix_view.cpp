#include "app/pages/matrix/matrix_view.h"

#include <QHeaderView>
#include <QKeyEvent>
#include <QPainter>
#include <QScrollBar>
#include <algorithm>
#include <utility>

#include "app/pages/matrix/matrix_delegate.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

/// "12 sessions" and the devices in their colours, with a swatch under each: colour is not the only mark.
class MatrixHeader : public QHeaderView {
public:
    explicit MatrixHeader(QWidget* parent) : QHeaderView(Qt::Horizontal, parent) {
        setSectionsClickable(true);
        setHighlightSections(false);
        setMinimumSectionSize(MatrixDelegate::cellWidth());
    }

    [[nodiscard]] QSize sizeHint() const override {
        return {QHeaderView::sizeHint().width(), QFontMetrics(smallFont()).height() + 12};
    }

protected:
    void paintSection(QPainter* painter, const QRect& rect, int section) const override {
        const auto& palette = currentPalette();
        const auto& model = static_cast<const MatrixModel&>(*this->model());
        painter->fillRect(rect, palette.surface);
        const bool isDevice = section > 0;
        const QFont font = isDevice ? strongSmall() : smallFont();
        const bool sorted = isSortIndicatorShown() && sortIndicatorSection() == section;
        QString words = model.headerData(section, Qt::Horizontal, Qt::DisplayRole).toString();
        const QString arrow =
            sortIndicatorOrder() == Qt::AscendingOrder ? QStringLiteral(" ↑") : QStringLiteral(" ↓");
        const int room = rect.width() - 4 - (sorted ? QFontMetrics(font).horizontalAdvance(arrow) : 0);
        words = QFontMetrics(font).elidedText(words, Qt::ElideRight, isDevice ? room : room - 6);
        painter->setFont(font);
        painter->setPen(isDevice ? palette.ink : palette.quietInk);
        painter->drawText(rect.adjusted(isDevice ? 0 : 6, 0, 0, -4),
                          (isDevice ? Qt::AlignHCenter : Qt::AlignLeft) | Qt::AlignVCenter,
                          sorted ? words + arrow : words);
        if (!isDevice) return;
        const int colour = model.headerData(section, Qt::Horizontal, MatrixModel::CellRole).toInt();
        painter->fillRect(QRect(rect.left() + 4, rect.bottom() - 3, rect.width() - 8, 3),
                          palette.trace(colour));
    }

private:
    static QFont strongSmall() {
        QFont font = smallFont();
        font.setWeight(QFont::DemiBold);
        return font;
    }
};

}  // namespace

MatrixView::MatrixView(MatrixModel& model, QWidget* parent) : QTreeView(parent), model_(model) {
    setObjectName(QStringLiteral("matrix"));
    setAccessibleName(tr("Sessions"));
    setHeader(new MatrixHeader(this));
    setModel(&model_);
    setItemDelegate(new MatrixDelegate(this));
    setUniformRowHeights(true);
    setRootIsDecorated(false);
    setIndentation(0);
    setAllColumnsShowFocus(false);
    setSelectionMode(ExtendedSelection);
    setSelectionBehavior(SelectRows);
    setEditTriggers(NoEditTriggers);  // F2 and the menu ask for it
    setFrameShape(NoFrame);
    setMouseTracking(true);
    setDragEnabled(true);
    setDragDropMode(DragOnly);
    setVerticalScrollMode(ScrollPerPixel);
    setHorizontalScrollMode(ScrollPerPixel);
    setTextElideMode(Qt::ElideRight);
    QPalette mine = palette();
    setPalette(mine);
    setStyleSheet(QStringLiteral("QTreeView { background: palette(window); }"));
    header()->setStretchLastSection(false);
    header()->setSectionsMovable(false);
    header()->setSortIndicatorShown(true);
    header()->setSortIndicator(0, Qt::AscendingOrder);
    connect(header(), &QHeaderView::sectionClicked, this, &MatrixView::sortBy);
    connect(&model_, &QAbstractItemModel::modelAboutToBeReset, this, &MatrixView::keep);
    connect(&model_, &QAbstractItemModel::modelReset, this, &MatrixView::putBack);
    connect(this, &QTreeView::collapsed, this, [this](const QModelIndex& head) {
        if (!puttingBack_) closed_.insert(head.data().toString());
    });
    connect(this, &QTreeView::expanded, this, [this](const QModelIndex& head) {
        if (!puttingBack_) closed_.erase(head.data().toString());
    });
    layOutColumns();
}

void MatrixView::keep() {
    puttingBack_ = true;
    current_ = model_.rowId(currentIndex());
    selected_.clear();
    for (const auto& index : selectionModel()->selectedRows())
        selected_.push_back(model_.rowId(index));
    scroll_ = verticalScrollBar()->value();
}

void MatrixView::putBack() {
    layOutColumns();
    for (int group = 0; group < model_.rowCount(); ++group) {
        const auto head = model_.index(group, 0);
        setExpanded(head, !closed_.contains(head.data().toString()));
        // Where there is no progress to tell, the name may be as long as the row.
        bool progress = false;
        for (int column = 1; column < model_.columnCount(); ++column)
            progress = progress || !model_.progressOf(group, column).isEmpty();
        setFirstColumnSpanned(group, {}, !progress);
    }
    if (const auto current = model_.indexOf(current_); current.isValid())
        selectionModel()->setCurrentIndex(current, QItemSelectionModel::NoUpdate);
    QItemSelection selection;
    for (const auto& row : selected_)
        if (const auto index = model_.indexOf(row); index.isValid())
            selection.select(index, index.siblingAtColumn(model_.columnCount() - 1));
    selectionModel()->select(selection, QItemSelectionModel::ClearAndSelect);
    verticalScrollBar()->setValue(scroll_);
    puttingBack_ = false;
}

void MatrixView::layOutColumns() {
    if (model_.columnCount() == 0) return;
    header()->setSectionResizeMode(0, QHeaderView::Stretch);
    header()->setMinimumSectionSize(MatrixDelegate::cellWidth());
    for (int column = 1; column < model_.columnCount(); ++column) {
        header()->setSectionResizeMode(column, QHeaderView::Fixed);
        header()->resizeSection(column, MatrixDelegate::cellWidth());
    }
}

void MatrixView::sortBy(int section) {
    const bool again = header()->sortIndicatorSection() == section;
    using Order = MatrixOrder;
    // The first column goes from the oldest to the newest, then by name, and round again.
    if (section == 0) {
        const bool byName =
            again && model_.order() == Order::Date && model_.direction() == Qt::DescendingOrder;
        const bool newest =
            again && model_.order() == Order::Date && model_.direction() == Qt::AscendingOrder;
        model_.setOrder(byName ? Order::Name : Order::Date,
                        newest ? Qt::DescendingOrder : Qt::AscendingOrder);
    } else {
        const bool worst = !again || model_.direction() == Qt::AscendingOrder;
        model_.setOrder(Order::Headline, worst ? Qt::DescendingOrder : Qt::AscendingOrder,
                        model_.devices()[static_cast<std::size_t>(section - 1)]);
    }
    header()->setSortIndicator(section, model_.direction());
}

std::vector<SessionId> MatrixView::selectedSessions() const {
    auto rows = selectionModel()->selectedRows();
    std::ranges::sort(rows, [](const QModelIndex& a, const QModelIndex& b) {
        return std::pair{a.parent().row(), a.row()} < std::pair{b.parent().row(), b.row()};
    });
    std::vector<SessionId> sessions;
    for (const auto& row : rows)
        if (const auto session = model_.sessionAt(row)) sessions.push_back(*session);
    return sessions;
}

std::vector<PlannedId> MatrixView::selectedPlans() const {
    std::vector<PlannedId> plans;
    for (const auto& row : selectionModel()->selectedRows()) {
        const auto id = model_.rowId(row);
        if (const auto* planned = std::get_if<PlannedId>(&id)) plans.push_back(*planned);
    }
    return plans;
}

std::optional<DeviceId> MatrixView::currentDevice() const {
    const int column = currentIndex().column() - 1;
    if (column < 0 || column >= static_cast<int>(model_.devices().size())) return std::nullopt;
    return model_.devices()[static_cast<std::size_t>(column)];
}

std::vector<SessionId> MatrixView::sessionsInSight() const {
    std::vector<SessionId> sessions;
    for (auto index = indexAt({1, 1}); index.isValid(); index = indexBelow(index)) {
        if (visualRect(index).top() > viewport()->height()) break;
        if (const auto session = model_.sessionAt(index)) sessions.push_back(*session);
    }
    return sessions;
}

void MatrixView::select(const MatrixModel::RowId& row) {
    const auto index = model_.indexOf(row);
    if (!index.isValid()) return;
    expand(index.parent());
    selectionModel()->setCurrentIndex(index, QItemSelectionModel::ClearAndSelect | QItemSelectionModel::Rows);
    scrollTo(index);
}

void MatrixView::openCurrent() {
    const auto id = model_.rowId(currentIndex());
    if (const auto* session = std::get_if<SessionId>(&id))
        emit openAsked(*session);
    else if (const auto* planned = std::get_if<PlannedId>(&id))
        emit planAsked(*planned);
    else if (currentIndex().isValid())
        setExpanded(currentIndex().siblingAtColumn(0), !isExpanded(currentIndex().siblingAtColumn(0)));
}

bool MatrixView::event(QEvent* event) {
    // F2 is also a key of the timeline; where the matrix has the keyboard it is the matrix's.
    if (event->type() == QEvent::ShortcutOverride && static_cast<QKeyEvent*>(event)->key() == Qt::Key_F2)
        event->accept();
    return QTreeView::event(event);
}

void MatrixView::keyPressEvent(QKeyEvent* event) {
    if (event->key() == Qt::Key_F2) {
        emit renameAsked();
        return;
    }
    const bool enter = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    if (enter && state() != EditingState)
        openCurrent();
    else if (event->key() == Qt::Key_Tab || event->key() == Qt::Key_Backtab)
        QAbstractScrollArea::keyPressEvent(event);
    else
        QTreeView::keyPressEvent(event);
}

void MatrixView::mouseReleaseEvent(QMouseEvent* event) {
    QTreeView::mouseReleaseEvent(event);
    const auto index = indexAt(event->pos());
    const bool plain = event->button() == Qt::LeftButton && event->modifiers() == Qt::NoModifier;
    if (plain && index.isValid() && index == currentIndex() && state() != EditingState) openCurrent();
}

void MatrixView::contextMenuEvent(QContextMenuEvent* event) {
    const bool byKey = event->reason() == QContextMenuEvent::Keyboard;
    emit menuAsked(byKey ? viewport()->mapToGlobal(visualRect(currentIndex()).center()) : event->globalPos());
}

void MatrixView::selectionChanged(const QItemSelection& selected, const QItemSelection& deselected) {
    QTreeView::selectionChanged(selected, deselected);
    if (!puttingBack_) emit selectionChangedByUser();
}

}  // namespace beatwitness::app
