#include "app/pages/flags_panel.h"

#include <QLabel>
#include <QListView>
#include <QVBoxLayout>
#include <algorithm>

#include "app/document/document.h"
#include "widgets/inputs/labels.h"
#include "widgets/models/flag_delegate.h"
#include "widgets/models/flag_list_model.h"

namespace beatwitness::app {

using namespace widgets;

namespace {
constexpr int fewestRows = 5;  ///< in sight, where there are so many
}

FlagsPanel::FlagsPanel(Document& document, QWidget* parent)
    : Section(tr("Flags"), parent),
      document_(document),
      model_(new FlagListModel(this)),
      list_(new QListView(this)),
      none_(makeCaption(tr("No flag on either trace."), this)) {
    list_->setObjectName(QStringLiteral("flagList"));
    list_->setAccessibleName(tr("Flags"));
    list_->setModel(model_);
    list_->setItemDelegate(new FlagDelegate(list_));
    list_->setFrameShape(QFrame::NoFrame);
    list_->viewport()->setAutoFillBackground(false);
    list_->setMouseTracking(true);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->setTabKeyNavigation(false);
    body()->addWidget(none_);
    body()->addWidget(list_);
    connect(list_, &QListView::clicked, this, [this](const QModelIndex& index) { visit(index.row()); });
    connect(list_, &QListView::activated, this, [this](const QModelIndex& index) { visit(index.row()); });
    connect(list_->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& index) {
                emit flagAtHand(model_->flag(index.row()), index.row(), model_->rowCount());
            });
    connect(&document_, &Document::analysisChanged, this, &FlagsPanel::refresh);
    connect(&document_, &Document::focusTestChanged, this, &FlagsPanel::refresh);
}

int FlagsPanel::flagCount() const {
    return model_->rowCount();
}

void FlagsPanel::pick(const flags::Flag* flag) {
    for (int row = 0; row < model_->rowCount(); ++row)
        if (model_->flag(row) == flag) list_->setCurrentIndex(model_->index(row));
}

const flags::Flag* FlagsPanel::atHand() const {
    return model_->flag(list_->currentIndex().row());
}

void FlagsPanel::refresh() {
    model_->setSession(document_.analysis(), static_cast<int>(document_.focusTest()));
    const int count = model_->rowCount();
    list_->setVisible(count > 0);
    none_->setVisible(count == 0);
    setState(count > 0 ? QString::number(count) : QString());
    fitRows();
    emit flagAtHand(nullptr, -1, count);
}

void FlagsPanel::setRoom(int height) {
    room_ = height;
    fitRows();
}

void FlagsPanel::fitRows() {
    const int count = model_->rowCount();
    if (count == 0) return;
    const int row = list_->sizeHintForRow(0);
    list_->setFixedHeight(row * std::min(count, std::max(fewestRows, room_ / row)) + 2);
}

void FlagsPanel::step(int by) {
    const int count = model_->rowCount();
    if (count == 0) return;
    const int current = list_->currentIndex().row();
    visit(current < 0 ? (by > 0 ? 0 : count - 1) : std::clamp(current + by, 0, count - 1));
}

void FlagsPanel::visit(int row) {
    list_->setCurrentIndex(model_->index(row));
    if (const auto* flag = model_->flag(row)) emit goTo(*flag);
}

}  // namespace beatwitness::app
