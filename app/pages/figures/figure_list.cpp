#include "app/pages/figures/figure_list.h"

#include <QApplication>
#include <QPainter>
#include <algorithm>

#include "app/pages/figures/figure_words.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace library;

namespace {

constexpr int rim = 8, gap = 10;

QRect pictureBox(const QRect& row) {
    return QRect(row.left() + rim, row.top() + rim, FigureMaker::thumbnailSize.width(),
                 FigureMaker::thumbnailSize.height());
}

QRect textBox(const QRect& row) {
    return row.adjusted(rim + FigureMaker::thumbnailSize.width() + gap, rim, -rim, -rim);
}

}  // namespace

FigureListModel::FigureListModel(LibraryDocument& library, const FigureMaker& maker, QObject* parent)
    : QAbstractListModel(parent), library_(library), maker_(maker) {
    connect(&library_, &LibraryDocument::changed, this, &FigureListModel::follow);
    connect(&library_, &LibraryDocument::opened, this, &FigureListModel::follow);
    connect(&library_, &LibraryDocument::closed, this, &FigureListModel::follow);
    connect(&maker_, &FigureMaker::made, this, [this](FigureId figure) {
        const auto index = indexOf(figure);
        if (index.isValid()) emit dataChanged(index, index);
    });
}

void FigureListModel::setProject(std::optional<ProjectId> project) {
    project_ = project;
    follow();
}

void FigureListModel::follow() {
    std::vector<FigureId> now;
    if (library_.contents() && project_)
        for (const auto& row : library_.contents()->figuresOf(*project_))
            now.push_back(row.id);
    if (now == ids_) {
        if (!ids_.empty()) emit dataChanged(index(0), index(rowCount() - 1));
        return;
    }
    beginResetModel();
    ids_ = std::move(now);
    endResetModel();
}

std::optional<FigureId> FigureListModel::idAt(const QModelIndex& index) const {
    if (!index.isValid() || index.row() >= rowCount()) return std::nullopt;
    return ids_[static_cast<std::size_t>(index.row())];
}

QModelIndex FigureListModel::indexOf(FigureId figure) const {
    const auto at = std::ranges::find(ids_, figure);
    return at == ids_.end() ? QModelIndex() : index(static_cast<int>(at - ids_.begin()));
}

int FigureListModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(ids_.size());
}

QVariant FigureListModel::data(const QModelIndex& index, int role) const {
    const auto id = idAt(index);
    const auto* is = id && library_.contents() ? library_.contents()->figure(*id) : nullptr;
    if (!is) return {};
    const auto* made = maker_.of(*id);
    const auto fault = [&] {
        return made && made->fault ? QString::fromStdString(sentence(*made->fault)) : QString();
    };
    switch (role) {
        case Qt::DisplayRole:
        case Qt::EditRole:
            return QString::fromStdString(is->name);
        case Qt::ToolTipRole:
            return fault().isEmpty() ? QString::fromStdString(is->name) : fault();
        case Qt::AccessibleDescriptionRole:
            return fault().isEmpty() ? lookWords(is->look) : fault();
        case PictureRole:
            return made ? QVariant(made->thumbnail) : QVariant();
        case LookRole:
            return lookWords(is->look);
        case FaultRole:
            return fault();
        default:
            return {};
    }
}

bool FigureListModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    const auto id = idAt(index);
    const QString name = value.toString().trimmed();
    if (role != Qt::EditRole || !id || name.isEmpty()) return false;
    auto is = library_.particulars(*id);
    if (!is) return false;
    is->name = name.toStdString();
    return library_.edit(tr("name of the figure"), {RowOf<FigureId, FigureParticulars>{*id, std::move(*is)}});
}

Qt::ItemFlags FigureListModel::flags(const QModelIndex& index) const {
    const auto flags = QAbstractListModel::flags(index);
    return index.isValid() && library_.canWrite() ? flags | Qt::ItemIsEditable : flags;
}

void FigureDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                           const QModelIndex& index) const {
    QStyleOptionViewItem row(option);
    initStyleOption(&row, index);
    row.text.clear();
    auto* style = option.widget ? option.widget->style() : QApplication::style();
    style->drawControl(QStyle::CE_ItemViewItem, &row, painter, option.widget);
    const auto& palette = widgets::currentPalette();
    const bool chosen = option.state & QStyle::State_Selected;
    const QRect box = pictureBox(option.rect);
    const auto image = index.data(FigureListModel::PictureRole).value<QImage>();
    QRectF at(box);
    if (!image.isNull()) {
        at.setSize(QSizeF(image.size()) / image.devicePixelRatio());
        at.moveCenter(QRectF(box).center());
        painter->drawImage(at, image);
    }
    painter->setPen(palette.hairline);
    painter->setBrush(Qt::NoBrush);
    painter->drawRect(at.adjusted(-0.5, -0.5, 0.5, 0.5));

    const QRect text = textBox(option.rect);
    const auto colour = option.palette.color(chosen ? QPalette::HighlightedText : QPalette::Text);
    const QString fault = index.data(FigureListModel::FaultRole).toString();
    painter->setPen(colour);
    painter->setFont(option.font);
    const QFontMetrics metrics(option.font);
    const QRect name = metrics.boundingRect(text, Qt::TextWordWrap, index.data().toString());
    const QRect room(text.left(), text.top(), text.width(),
                     std::min(name.height(), 2 * metrics.lineSpacing()));
    painter->drawText(room, Qt::TextWordWrap, index.data().toString());
    painter->setFont(widgets::smallFont());
    painter->setPen(chosen ? colour : fault.isEmpty() ? palette.quietInk : palette.warning);
    painter->drawText(text.adjusted(0, room.height() + 2, 0, 0), Qt::TextWordWrap,
                      fault.isEmpty() ? index.data(FigureListModel::LookRole).toString() : fault);
}

QSize FigureDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex&) const {
    return {FigureMaker::thumbnailSize.width() + option.fontMetrics.averageCharWidth() * 16,
            FigureMaker::thumbnailSize.height() + 2 * rim};
}

void FigureDelegate::updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option,
                                          const QModelIndex&) const {
    QRect box = textBox(option.rect);
    box.setHeight(std::max(26, editor->sizeHint().height()));
    editor->setGeometry(box);
}

}  // namespace beatwitness::app
