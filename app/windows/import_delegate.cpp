#include "app/windows/import_delegate.h"

#include <QComboBox>
#include <QCompleter>
#include <QLineEdit>

#include "app/windows/import_model.h"

namespace beatwitness::app {

QWidget* ImportDelegate::createEditor(QWidget* parent, const QStyleOptionViewItem& option,
                                      const QModelIndex& index) const {
    const auto* model = qobject_cast<const ImportModel*>(index.model());
    const auto choices = model ? model->choices(index) : QStringList{};
    if (choices.isEmpty()) return QStyledItemDelegate::createEditor(parent, option, index);
    auto* box = new QComboBox(parent);
    box->setObjectName(QStringLiteral("cellList"));
    box->addItems(choices);
    box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    const bool isRole = index.column() == ImportModel::Role && index.parent().isValid();
    box->setEditable(!isRole);
    if (!isRole) box->completer()->setCompletionMode(QCompleter::PopupCompletion);
    box->setAccessibleName(model->headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString());
    return box;
}

void ImportDelegate::setEditorData(QWidget* editor, const QModelIndex& index) const {
    auto* box = qobject_cast<QComboBox*>(editor);
    if (!box) return QStyledItemDelegate::setEditorData(editor, index);
    const QString text = index.data(Qt::EditRole).toString();
    box->setCurrentIndex(box->findText(text));
    if (!box->isEditable()) return;
    box->setEditText(text);
    box->lineEdit()->selectAll();
}

void ImportDelegate::setModelData(QWidget* editor, QAbstractItemModel* model,
                                  const QModelIndex& index) const {
    const auto* box = qobject_cast<QComboBox*>(editor);
    if (!box) return QStyledItemDelegate::setModelData(editor, model, index);
    model->setData(index, box->currentText(), Qt::EditRole);
}

QSize ImportDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const {
    auto size = QStyledItemDelegate::sizeHint(option, index);
    size.setHeight(std::max(size.height(), option.fontMetrics.height() * 8 / 5));  // room for an editor
    return size;
}

}  // namespace beatwitness::app
