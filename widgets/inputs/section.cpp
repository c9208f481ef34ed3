#include "widgets/inputs/section.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QVBoxLayout>

#include "widgets/inputs/labels.h"

namespace beatwitness::widgets {

Section::Section(const QString& title, QWidget* parent)
    : QWidget(parent), state_(makeCaption({}, this)), body_(new QVBoxLayout) {
    setAccessibleName(title);
    auto* name = makeStrong(title, this);
    name->setWordWrap(false);
    state_->setWordWrap(false);
    state_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    auto* head = new QHBoxLayout;
    head->addWidget(name);
    head->addStretch(1);
    head->addWidget(state_);
    body_->setSpacing(4);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 4);
    column->setSpacing(6);
    column->addLayout(head);
    column->addLayout(body_);
    column->addSpacing(4);
    column->addWidget(makeRule(this));
}

void Section::setState(const QString& state) {
    state_->setText(state);
}

QString Section::state() const {
    return state_->text();
}

}  // namespace beatwitness::widgets
