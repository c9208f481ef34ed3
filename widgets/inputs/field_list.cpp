#include "widgets/inputs/field_list.h"

#include <QComboBox>
#include <QCompleter>
#include <QGridLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QSignalBlocker>
#include <utility>

#include "widgets/inputs/labels.h"

namespace beatwitness::widgets {

FieldList::FieldList(QWidget* parent) : QWidget(parent), grid_(new QGridLayout(this)) {
    grid_->setContentsMargins(0, 0, 0, 0);
    grid_->setHorizontalSpacing(10);
    grid_->setVerticalSpacing(4);
    grid_->setColumnStretch(1, 1);
    grid_->setColumnMinimumWidth(0, fontMetrics().averageCharWidth() * 14);
}

void FieldList::addRow(const QString& label, QWidget* editor, Field field) {
    const int row = grid_->rowCount();
    auto* name = makeCaption(label, this);
    name->setWordWrap(true);
    name->setBuddy(editor);
    editor->setAccessibleName(label);
    field.complaint = makeBody({}, this);
    field.complaint->hide();
    grid_->addWidget(name, row, 0, Qt::AlignLeft | Qt::AlignVCenter);
    grid_->addWidget(editor, row, 1);
    grid_->addWidget(field.complaint, row + 1, 0, 1, 2);
    fields_.push_back(std::move(field));
}

QLineEdit* FieldList::addField(const QString& label, Read read, Write write, const QStringList& suggestions) {
    auto* edit = new QLineEdit(read(), this);
    edit->setPlaceholderText(tr("not recorded"));
    edit->setMinimumHeight(26);
    edit->setCursorPosition(0);
    edit->installEventFilter(this);
    if (!suggestions.isEmpty()) {
        auto* completer = new QCompleter(suggestions, edit);
        completer->setCaseSensitivity(Qt::CaseInsensitive);
        completer->setFilterMode(Qt::MatchContains);
        edit->setCompleter(completer);
    }
    const auto index = fields_.size();
    addRow(label, edit, {edit, nullptr, nullptr, nullptr, std::move(read), std::move(write)});
    connect(edit, &QLineEdit::editingFinished, this, [this, index] { take(index); });
    return edit;
}

QComboBox* FieldList::addChoice(const QString& label, const QStringList& choices, Read read, Write write) {
    auto* choice = new QComboBox(this);
    choice->addItems(choices);
    choice->setCurrentText(read());
    choice->setMinimumHeight(26);
    choice->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);  // long names give way
    choice->setMinimumContentsLength(8);
    choice->setFocusPolicy(Qt::StrongFocus);  // the wheel scrolls the column, not the choice
    choice->installEventFilter(this);
    const auto index = fields_.size();
    addRow(label, choice, {nullptr, choice, nullptr, nullptr, std::move(read), std::move(write)});
    connect(choice, &QComboBox::activated, this, [this, index] { take(index); });
    return choice;
}

void FieldList::addEditor(const QString& label, QWidget* editor) {
    addRow(label, editor, {});
}

QLabel* FieldList::addFact(const QString& label, Read read) {
    auto* fact = makeBody(read(), this);
    addRow(label, fact, {nullptr, nullptr, fact, nullptr, std::move(read), {}});
    return fact;
}

void FieldList::take(std::size_t index) {
    auto& field = fields_[index];
    const QString typed = field.edit ? field.edit->text().trimmed() : field.choice->currentText();
    if (typed == field.read()) {
        complain(field, std::nullopt);
        return;
    }
    if (field.edit) field.edit->setModified(false);
    complain(field, field.write(typed));
}

void FieldList::complain(Field& field, const std::optional<QString>& why) {
    field.complaint->setText(why.value_or(QString()));
    field.complaint->setVisible(why.has_value());
}

void FieldList::refresh() {
    for (auto& field : fields_) {
        if (field.edit && !(field.edit->hasFocus() && field.edit->isModified())) {
            const QString now = field.read();
            if (field.edit->text() != now && field.complaint->isHidden()) field.edit->setText(now);
        }
        if (field.choice) {
            const QSignalBlocker quiet(field.choice);
            field.choice->setCurrentText(field.read());
        }
        if (field.fact) field.fact->setText(field.read());
    }
}

void FieldList::setReadOnly(bool readOnly) {
    for (auto& field : fields_) {
        if (field.edit) field.edit->setReadOnly(readOnly);
        if (field.choice) field.choice->setEnabled(!readOnly);
    }
}

bool FieldList::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::Wheel && qobject_cast<QComboBox*>(watched)) {
        event->ignore();
        return true;
    }
    if (event->type() == QEvent::KeyPress && static_cast<QKeyEvent*>(event)->key() == Qt::Key_Escape)
        for (auto& field : fields_)
            if (field.edit == watched && (field.edit->isModified() || field.complaint->isVisible())) {
                field.edit->setText(field.read());
                complain(field, std::nullopt);
                return true;
            }
    return QWidget::eventFilter(watched, event);
}

}  // namespace beatwitness::widgets
