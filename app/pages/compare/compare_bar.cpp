#include "app/pages/compare/compare_bar.h"

#include <QComboBox>
#include <QDoubleSpinBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QSignalBlocker>
#include <QToolButton>
#include <array>

#include "widgets/inputs/ink_icon.h"

namespace beatwitness::app {
namespace {

constexpr int leastHeight = 26;
constexpr std::array epochs_s{1, 5, 10, 30, 60};
constexpr double widestMargin_bpm = 50.0;

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

}  // namespace

CompareBar::CompareBar(QWidget* parent) : QWidget(parent) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(14, 8, 14, 6);
    row->setSpacing(6);
    a_ = addSide(tr("Held against the other"), "comparedA");
    swap_ = new QToolButton(this);
    swap_->setIcon(widgets::inkIcon(QStringLiteral("swap")));
    swap_->setToolTip(tr("Swap the sides"));
    swap_->setAccessibleName(swap_->toolTip());
    swap_->setMinimumSize(leastHeight, leastHeight);
    swap_->setFocusPolicy(Qt::StrongFocus);
    row->addWidget(swap_);
    b_ = addSide(tr("What it is held against"), "comparedB");
    row->addSpacing(10);
    clock_ = addChoice(tr("Clock"), "comparedClock");
    clock_->addItems({tr("aligned"), tr("as recorded")});
    epoch_ = addChoice(tr("Epoch"), "comparedEpoch");
    for (const int seconds : epochs_s)
        epoch_->addItem(tr("%1 s epochs").arg(seconds), seconds);
    faults_ = addChoice(tr("Seconds in which the reference itself failed"), "comparedFaults");
    faults_->addItems({tr("reference faults left out"), tr("reference faults kept")});
    margin_ = new QDoubleSpinBox(this);
    margin_->setObjectName(QStringLiteral("comparedMargin"));
    margin_->setRange(0.0, widestMargin_bpm);
    margin_->setDecimals(1);
    margin_->setSingleStep(0.5);
    margin_->setSpecialValueText(tr("no margin"));
    margin_->setPrefix(tr("margin "));
    margin_->setSuffix(tr(" bpm"));
    margin_->setKeyboardTracking(false);
    margin_->setMinimumHeight(leastHeight);
    margin_->setAccessibleName(tr("Margin for equivalence"));
    margin_->setToolTip(
        tr("Within this difference the mean errors count as equivalent. Set it before you look "
           "at the results."));
    row->addWidget(margin_);
    row->addStretch(1);
    for (auto* box : {a_, b_, clock_, epoch_, faults_})
        connect(box, &QComboBox::activated, this, &CompareBar::tell);
    connect(margin_, &QDoubleSpinBox::valueChanged, this, &CompareBar::tell);
    connect(swap_, &QToolButton::clicked, this, &CompareBar::swapSides);
}

QComboBox* CompareBar::addSide(const QString& name, const char* objectName) {
    auto* box = addChoice(name, objectName);
    box->setMinimumContentsLength(8);
    QFont strong = box->font();
    strong.setBold(true);
    box->setFont(strong);
    return box;
}

QComboBox* CompareBar::addChoice(const QString& name, const char* objectName) {
    auto* box = new QComboBox(this);
    box->setObjectName(QString::fromLatin1(objectName));
    box->setAccessibleName(name);
    box->setToolTip(name);
    box->setMinimumHeight(leastHeight);
    box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    static_cast<QHBoxLayout*>(layout())->addWidget(box);
    return box;
}

void CompareBar::addButton(QToolButton* button) {
    button->setMinimumHeight(leastHeight);
    button->setFocusPolicy(Qt::StrongFocus);
    static_cast<QHBoxLayout*>(layout())->addWidget(button);
}

void CompareBar::fillSides(QComboBox& box, const std::vector<evaluation::ComparedSide>& sides,
                           const std::string& current) {
    const QSignalBlocker quiet(box);
    box.clear();
    for (std::size_t i = 0; i < sides.size(); ++i) {
        const bool part = !sides[i].firmware.empty() || sides[i].year;
        if (i > 0 && !part) box.insertSeparator(box.count());
        const QString name = qt(sideName(sides[i]));
        box.addItem(name, name);
    }
    box.setCurrentIndex(box.findData(qt(current)));
    box.setEnabled(sides.size() > 1);
}

void CompareBar::showAsk(const report::ComparedAsk& ask, const std::vector<evaluation::ComparedSide>& sides) {
    ask_ = ask;
    sides_ = sides;
    fillSides(*a_, sides, ask.a);
    fillSides(*b_, sides, ask.b);
    swap_->setEnabled(sides.size() > 1);
    const QSignalBlocker quietMargin(margin_);
    clock_->setCurrentIndex(ask.clock == evaluation::Clock::Aligned ? 0 : 1);
    if (epoch_->findData(ask.epoch_s) < 0) epoch_->addItem(tr("%1 s epochs").arg(ask.epoch_s), ask.epoch_s);
    epoch_->setCurrentIndex(epoch_->findData(ask.epoch_s));
    faults_->setCurrentIndex(ask.excludeReferenceFaults ? 0 : 1);
    margin_->setValue(ask.margin_bpm.value_or(0.0));
}

void CompareBar::swapSides() {
    std::swap(ask_.a, ask_.b);
    emit asked(ask_);
}

void CompareBar::tell() {
    const auto before = ask_;
    ask_.a = a_->currentData().toString().toStdString();
    ask_.b = b_->currentData().toString().toStdString();
    // Choosing what stands on the other side swaps the two.
    if (ask_.a == ask_.b) (ask_.a == before.a ? ask_.a : ask_.b) = ask_.a == before.a ? before.b : before.a;
    ask_.clock = clock_->currentIndex() == 0 ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    ask_.epoch_s = epoch_->currentData().toInt();
    ask_.excludeReferenceFaults = faults_->currentIndex() == 0;
    ask_.margin_bpm = margin_->value() > 0 ? std::optional{margin_->value()} : std::nullopt;
    emit asked(ask_);
}

}  // namespace beatwitness::app
