#include "app/pages/play_bar.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QToolButton>

#include "app/pages/player.h"
#include "widgets/inputs/ink_icon.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

PlayBar::PlayBar(Player& player, QWidget* parent)
    : QWidget(parent),
      player_(player),
      play_(new QToolButton(this)),
      speed_(new QComboBox(this)),
      head_(makeStrong({}, this)),
      hint_(makeCaption({}, this)) {
    setAccessibleName(tr("Playing"));
    play_->setObjectName(QStringLiteral("play"));
    play_->setAutoRaise(true);
    play_->setMinimumSize(28, 28);
    play_->setFocusPolicy(Qt::StrongFocus);
    for (const int speed : Player::speeds)
        speed_->addItem(tr("%1\u00D7").arg(speed), speed);
    speed_->setMinimumHeight(26);
    speed_->setAccessibleName(tr("Speed of playing"));
    speed_->setToolTip(tr("Speed of playing (Shift+Space)"));
    head_->setObjectName(QStringLiteral("flagHead"));
    head_->setWordWrap(false);
    hint_->setWordWrap(false);
    hint_->setTextInteractionFlags(Qt::NoTextInteraction);
    // Rather cut than pushing the window wider.
    for (auto* label : {head_, hint_})
        label->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(play_);
    row->addWidget(speed_);
    row->addSpacing(8);
    row->addWidget(head_, 3);
    hint_->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    row->addWidget(hint_, 2);
    connect(play_, &QToolButton::clicked, this, [this] { player_.setPlaying(!player_.isPlaying()); });
    connect(speed_, &QComboBox::activated, this,
            [this](int index) { player_.setSpeed(speed_->itemData(index).toInt()); });
    connect(&player_, &Player::changed, this, &PlayBar::refresh);
    refresh();
}

void PlayBar::refresh() {
    const bool playing = player_.isPlaying();
    play_->setIcon(inkIcon(playing ? QStringLiteral("pause") : QStringLiteral("play")));
    play_->setAccessibleName(playing ? tr("Pause") : tr("Play"));
    play_->setToolTip(playing ? tr("Pause (Space)") : tr("Play (Space)"));
    speed_->setCurrentIndex(speed_->findData(player_.speed()));
}

void PlayBar::setHead(const QString& text) {
    head_->setText(text);
    head_->setToolTip(text);
}

QString PlayBar::head() const {
    return head_->text();
}

void PlayBar::setHint(const QString& text) {
    hint_->setText(text);
    hint_->setToolTip(text);
}

}  // namespace beatwitness::app
