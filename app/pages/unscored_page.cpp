#include "app/pages/unscored_page.h"

#include <QHBoxLayout>
#include <QLabel>
#include <QPainter>
#include <QVBoxLayout>

#include "app/document/stored_session.h"
#include "app/pages/particulars/particulars_panel.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

UnscoredPage::UnscoredPage(LibraryDocument& library, StoredSession& session, QWidget* parent)
    : QWidget(parent),
      session_(session),
      name_(makeHeading({}, this)),
      why_(makeBody({}, this)),
      particulars_(new ParticularsPanel(library, session, this)) {
    setObjectName(QStringLiteral("unscoredPage"));
    why_->setObjectName(QStringLiteral("unscoredWhy"));
    particulars_->setMinimumWidth(fontMetrics().averageCharWidth() * 60);
    auto* words = new QVBoxLayout;
    words->setContentsMargins(20, 16, 20, 16);
    words->addWidget(name_);
    words->addWidget(why_);
    words->addStretch(1);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->addLayout(words, 1);
    row->addWidget(particulars_);
    connect(&session_, &StoredSession::changed, this, &UnscoredPage::refresh);
    refresh();
}

void UnscoredPage::refresh() {
    const auto* row = session_.row();
    name_->setText(row ? QString::fromStdString(row->name) : tr("Planned session"));
    why_->setText(!row ? tr("It has not come yet: what is planned stands at the right.")
                  : session_.unscored().isEmpty() ? tr("Opening …")
                                                  : tr("There are no numbers: %1").arg(session_.unscored()));
}

void UnscoredPage::paintEvent(QPaintEvent*) {
    QPainter(this).fillRect(rect(), palette().color(QPalette::Base));
}

}  // namespace beatwitness::app
