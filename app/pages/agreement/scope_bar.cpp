#include "app/pages/agreement/scope_bar.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QSignalBlocker>
#include <algorithm>
#include <array>

#include "widgets/inputs/check_menu.h"

namespace beatwitness::app {

using namespace widgets;
using evaluation::GroupKey;

namespace {

constexpr std::array epochs_s{1, 5, 10, 30, 60};
constexpr std::array breakdowns{GroupKey::Activity, GroupKey::Session, GroupKey::Phase,
                                GroupKey::Range,    GroupKey::Wearer,  GroupKey::Firmware};
constexpr int leastHeight = 26;

QString named(const std::string& text) {
    return text.empty() ? ScopeBar::tr("not recorded") : QString::fromStdString(text);
}

QStringList namedAll(const std::vector<std::string>& texts) {
    QStringList list;
    for (const auto& text : texts)
        list << named(text);
    return list;
}

template <class Value>
std::vector<Value> picked(const CheckMenu* menu, const std::vector<Value>& values) {
    std::vector<Value> chosen;
    if (menu)
        for (const int i : menu->checked())
            if (i < static_cast<int>(values.size())) chosen.push_back(values[static_cast<std::size_t>(i)]);
    return chosen;
}

/// Places of `wanted` among `values`.
template <class Value>
std::vector<int> placesOf(const std::vector<Value>& wanted, const std::vector<Value>& values) {
    std::vector<int> places;
    for (std::size_t i = 0; i < values.size(); ++i)
        if (std::ranges::find(wanted, values[i]) != wanted.end()) places.push_back(static_cast<int>(i));
    return places;
}

}  // namespace

ScopeBar::ScopeBar(QWidget* parent) : QWidget(parent), first_(new QHBoxLayout), second_(new QHBoxLayout) {
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(6);
    for (auto* row : {first_, second_}) {
        row->setSpacing(6);
        column->addLayout(row);
    }
    scope_ = combo(tr("Session or project"), {tr("this session"), tr("this project")}, "scope");
    device_ = combo(tr("Device"), {tr("all devices")}, "scopeDevice");
    clock_ = combo(tr("Clock"), {tr("aligned"), tr("as recorded")}, "scopeClock");
    QStringList epochs;
    for (const int s : epochs_s)
        epochs << tr("%1 s epochs").arg(s);
    epoch_ = combo(tr("Epoch"), epochs, "scopeEpoch");
    faults_ = combo(tr("Seconds in which the reference failed"),
                    {tr("reference faults left out"), tr("reference faults kept")}, "scopeFaults");
    weight_ = combo(tr("Weighting"), {tr("each second alike"), tr("each session alike")}, "scopeWeight");
    for (auto* box : {scope_, device_})
        first_->addWidget(box);
    for (auto* box : {clock_, epoch_, faults_, weight_})
        second_->addWidget(box);
    first_->addStretch(1);
    second_->addStretch(1);
    connect(scope_, &QComboBox::activated, this, [this] {
        refresh();
        emit scopeChanged();
    });
    connect(clock_, &QComboBox::activated, this, [this] { emit clockChanged(aligned()); });
    for (auto* box : {device_, epoch_, faults_, weight_})
        connect(box, &QComboBox::activated, this, &ScopeBar::changed);
    remakeMenus();
    refresh();
}

QComboBox* ScopeBar::combo(const QString& name, const QStringList& items, const char* object) {
    auto* box = new QComboBox(this);
    box->addItems(items);
    box->setAccessibleName(name);
    box->setToolTip(name);
    box->setObjectName(QLatin1String(object));
    box->setMinimumHeight(leastHeight);
    box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    return box;
}

void ScopeBar::setAvailable(bool session, bool project) {
    scope_->setEnabled(session && project);
    if (!session || !project) scope_->setCurrentIndex(session ? 0 : 1);
    refresh();
}

bool ScopeBar::isProject() const {
    return scope_->currentIndex() == 1;
}

void ScopeBar::setProject(bool project) {
    scope_->setCurrentIndex(project ? 1 : 0);
    refresh();
}

void ScopeBar::setAligned(bool aligned) {
    clock_->setCurrentIndex(aligned ? 0 : 1);
}

bool ScopeBar::aligned() const {
    return clock_->currentIndex() == 0;
}

void ScopeBar::setDevice(const QString& device) {
    device_->setCurrentIndex(std::max(0, device_->findText(device)));
}

bool ScopeBar::sessionWeighted() const {
    return weight_->currentIndex() == 1;
}

void ScopeBar::setFaultsChoice(bool possible) {
    faults_->setEnabled(possible);
    if (!possible) faults_->setCurrentIndex(0);
}

void ScopeBar::refresh() {
    const bool project = isProject();
    device_->setVisible(project);
    weight_->setVisible(project);
    if (activities_) activities_->setVisible(project && choices_.activities.size() > 1);
    if (phases_) phases_->setVisible(!choices_.phases.empty());
}

void ScopeBar::setChoices(const report::AgreementChoices& choices, const std::vector<std::string>& devices) {
    std::vector<std::string> shown;
    for (const auto& device : devices)
        if (std::ranges::find(choices.devices, device) != choices.devices.end()) shown.push_back(device);
    if (shown != devices_) {
        const QString before = device_->currentText();
        devices_ = shown;
        device_->clear();
        device_->addItem(tr("all devices"));
        device_->addItems(namedAll(devices_));
        setDevice(before);
    }
    const auto activities = picked(activities_, choices_.activities);
    const auto phases = picked(phases_, choices_.phases);
    const auto ranges = picked(ranges_, choices_.ranges);
    const auto by = by_ ? by_->checked() : std::vector<int>{};
    const bool same = choices.activities == choices_.activities && choices.phases == choices_.phases &&
                      choices.ranges == choices_.ranges;
    choices_ = choices;
    if (!same) remakeMenus();
    activities_->setChecked(placesOf(activities, choices_.activities));
    phases_->setChecked(placesOf(phases, choices_.phases));
    ranges_->setChecked(placesOf(ranges, choices_.ranges));
    by_->setChecked(by);
    refresh();
}

void ScopeBar::remakeMenus() {
    for (auto* menu : {activities_, phases_, ranges_, by_})
        if (menu) menu->deleteLater();
    QStringList ranges, keys;
    for (const int lower : choices_.ranges)
        ranges << tr("%1–%2 bpm").arg(lower).arg(lower + evaluation::rangeWidth_bpm - 1);
    for (const auto key : breakdowns)
        keys << tr("by %1").arg(QString::fromUtf8(evaluation::groupKeyName(key).data()));
    const auto make = [this](const QStringList& choices, const QString& all, const QString& name,
                             const char* object, QHBoxLayout* row) {
        auto* menu = new CheckMenu(choices, all, this);
        menu->setAccessibleName(name);
        menu->setToolTip(name);
        menu->setObjectName(QLatin1String(object));
        menu->setMinimumHeight(leastHeight);
        row->insertWidget(row->count() - 1, menu);
        connect(menu, &CheckMenu::chosen, this, &ScopeBar::changed);
        // As wide as its words, within reason: what is ticked may be long.
        menu->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
        menu->setStyleSheet(QStringLiteral("text-align: left; padding: 2px 20px 2px 6px"));
        menu->setMaximumWidth(fontMetrics().averageCharWidth() * 30);
        menu->show();
        return menu;
    };
    activities_ =
        make(namedAll(choices_.activities), tr("all activities"), tr("Activities"), "scopeActivity", first_);
    phases_ = make(namedAll(choices_.phases), tr("all phases"), tr("Phases"), "scopePhase", first_);
    ranges_ =
        make(ranges, tr("all heart rates"), tr("Ranges of the reference’s heart rate"), "scopeRange", first_);
    by_ = make(keys, tr("table by device alone"), tr("What the table breaks down by"), "scopeBy", second_);
}

report::AgreementAsk ScopeBar::asked(report::AgreementAsk ask) const {
    ask.scope.devices.clear();
    const auto device = static_cast<std::size_t>(std::max(0, device_->currentIndex()));
    if (isProject() && device > 0) ask.scope.devices = {devices_[device - 1]};
    ask.scope.activities =
        isProject() ? picked(activities_, choices_.activities) : std::vector<std::string>{};
    ask.scope.phases = picked(phases_, choices_.phases);
    ask.scope.ranges = picked(ranges_, choices_.ranges);
    ask.clock = aligned() ? evaluation::Clock::Aligned : evaluation::Clock::AsRecorded;
    ask.epoch_s = epochs_s[static_cast<std::size_t>(epoch_->currentIndex())];
    ask.excludeReferenceFaults = faults_->currentIndex() == 0;
    ask.by.clear();
    for (const int i : by_->checked())
        ask.by.push_back(breakdowns[static_cast<std::size_t>(i)]);
    return ask;
}

}  // namespace beatwitness::app
