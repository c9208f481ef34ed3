#include "app/pages/particulars/particulars_panel.h"

#include <QDate>
#include <QLabel>
#include <QLineEdit>
#include <QTimeZone>
#include <QVBoxLayout>
#include <algorithm>

#include "app/pages/particulars/row_fields.h"
#include "app/pages/particulars/time_words.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/offset_field.h"
#include "widgets/inputs/section.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

QStringList roleWords() {
    return {ParticularsPanel::tr("reference"), ParticularsPanel::tr("test"), ParticularsPanel::tr("context")};
}

QStringList clockWords() {
    return {ParticularsPanel::tr("estimated"), ParticularsPanel::tr("typed offset"),
            ParticularsPanel::tr("as recorded"), ParticularsPanel::tr("shared source")};
}

template <class Rows>
QStringList labelsOf(const Rows& rows) {
    QStringList labels;
    for (const auto& row : rows)
        labels << qt(row.is.label);
    return labels;
}

/// Device, activity and wearer are written by name: one that is not known yet is added.
template <class Member, class Find>
auto namedTaker(Member member, Find find) {
    return [member, find](auto& is, const QString& typed) -> std::optional<QString> {
        if (typed.isEmpty()) {
            member(is).reset();
            return std::nullopt;
        }
        if (const auto id = find(typed)) member(is) = *id;
        return std::nullopt;
    };
}

QString bmiWords(const std::optional<WearerParticulars>& is) {
    if (!is || !is->height_cm || !is->mass_kg || *is->height_cm <= 0) return absentText();
    const double height_m = *is->height_cm / 100;
    return numberText(*is->mass_kg / (height_m * height_m), 1) + QStringLiteral(" kg/m²");
}

}  // namespace

ParticularsPanel::ParticularsPanel(LibraryDocument& library, StoredSession& session, QWidget* parent)
    : QScrollArea(parent), library_(library), session_(session) {
    setObjectName(QStringLiteral("particulars"));
    setAccessibleName(tr("Particulars"));
    setFrameShape(NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    connect(&session_, &StoredSession::changed, this, [this] {
        planned_.reset();
        follow();
    });
    connect(&library_, &LibraryDocument::changed, this, &ParticularsPanel::follow);
    rebuild();
}

void ParticularsPanel::showPlan(PlannedId planned) {
    planned_ = planned;
    follow();
}

void ParticularsPanel::takeFocus() {
    for (auto* edit : contents_->findChildren<QLineEdit*>())
        if (edit->isVisible()) {
            edit->setFocus(Qt::OtherFocusReason);
            edit->selectAll();
            return;
        }
    setFocus(Qt::OtherFocusReason);
}

std::vector<std::int64_t> ParticularsPanel::structure() const {
    if (!library_.isOpen()) return {};
    if (planned_) return {2, planned_->value};
    const auto* row = session_.row();
    if (!row) return {};
    std::vector<std::int64_t> ids{1, row->id.value, row->wearerId ? row->wearerId->value : 0};
    for (const auto& wearing : row->wearings)
        ids.insert(ids.end(), {wearing.id.value, wearing.device.value});
    return ids;
}

void ParticularsPanel::follow() {
    if (planned_ && (!library_.contents() || !library_.contents()->planned(*planned_))) planned_.reset();
    if (structure() != shown_)
        rebuild();
    else
        for (auto* list : lists_)
            list->refresh();
}

void ParticularsPanel::rebuild() {
    shown_ = structure();
    lists_.clear();
    contents_ = new QWidget;
    column_ = new QVBoxLayout(contents_);
    column_->setContentsMargins(18, 12, 18, 12);
    column_->setSpacing(12);
    const auto* row = session_.row();
    if (planned_) {
        addPlan(*planned_);
    } else if (row && library_.isOpen()) {
        addSession(row->id);
        for (const auto& wearing : row->wearings)
            addWearing(wearing);
        addConditions(row->id);
        if (row->wearerId) addWearer(*row->wearerId);
        std::set<DeviceId> devices;
        for (const auto& wearing : row->wearings)
            if (devices.insert(wearing.device).second) addDevice(wearing.device);
    } else {
        column_->addWidget(makeCaption(tr("Open a session of the library to see and edit what is known of "
                                          "it. A pair that is not kept in a "
                                          "library has no particulars."),
                                       contents_));
    }
    column_->addStretch(1);
    for (auto* list : lists_)
        list->setReadOnly(!library_.canWrite());
    if (auto* old = takeWidget()) old->deleteLater();  // an editor of it may be the one that asked
    setWidget(contents_);
}

FieldList* ParticularsPanel::section(const QString& title, const QString& state) {
    auto* section = new Section(title, contents_);
    section->setState(state);
    auto* list = new FieldList(section);
    section->body()->addWidget(list);
    column_->addWidget(section);
    lists_.push_back(list);
    return list;
}

void ParticularsPanel::addSession(SessionId id) {
    RowFields<SessionId, SessionParticulars> fields(*section(tr("Session")), library_, id, tr("session"));
    fields.text(
        tr("Name"), [](auto& is) -> auto& { return is.name; });
    fields.custom(
        tr("Activity"),
        [this](auto& is) {
            const auto* found = is.activity ? library_.contents()->activity(*is.activity) : nullptr;
            return found ? qt(found->label) : QString();
        },
        namedTaker(
            [](auto& is) -> auto& { return is.activity; },
            [this](const QString& label) { return library_.activity(label); }),
        labelsOf(library_.contents()->activities));
    fields.custom(
        tr("Wearer"),
        [this](auto& is) {
            const auto* found = is.wearer ? library_.contents()->wearer(*is.wearer) : nullptr;
            return found ? qt(found->label) : QString();
        },
        namedTaker(
            [](auto& is) -> auto& { return is.wearer; },
            [this](const QString& label) { return library_.wearer(label); }),
        labelsOf(library_.contents()->wearers));
    fields.text(
        tr("Note"), [](auto& is) -> auto& { return is.note; });
    fields.custom(
        tr("Time zone"), [](auto& is) { return qt(is.zone); },
        [](auto& is, const QString& typed) -> std::optional<QString> {
            if (!typed.isEmpty() && !QTimeZone(typed.toUtf8()).isValid())
                return tr("The name of a time zone was expected, such as Europe/Oslo.");
            is.zone = typed.toStdString();
            return std::nullopt;
        },
        zoneNames());
    fields.custom(
        tr("Counts from"),
        [](auto& is) { return is.counted ? instantWords(is.counted->begin, is.zone) : QString(); },
        [this](auto& is, const QString& typed) {
            return takeCounted(is, typed, Edge::Begin, session_.row()->start);
        });
    fields.custom(
        tr("Counts until"),
        [](auto& is) { return is.counted ? instantWords(is.counted->end, is.zone) : QString(); },
        [this](auto& is, const QString& typed) {
            return takeCounted(is, typed, Edge::End, session_.row()->start);
        });
}

void ParticularsPanel::addConditions(SessionId id) {
    RowFields<SessionId, SessionParticulars> fields(*section(tr("Conditions")), library_, id, tr("session"));
    fields.text(
        tr("Protocol"), [](auto& is) -> auto& { return is.conditions.protocol; });
    fields.text(tr("Place"), [](auto& is) -> auto& { return is.conditions.place; },
                {tr("indoors"), tr("outdoors")});
    fields.text(
        tr("Temperature"), [](auto& is) -> auto& { return is.conditions.temperature; });
    fields.text(
        tr("Last meal"), [](auto& is) -> auto& { return is.conditions.meal; });
    fields.text(
        tr("Caffeine"), [](auto& is) -> auto& { return is.conditions.caffeine; });
    fields.text(
        tr("Exercise before"), [](auto& is) -> auto& { return is.conditions.priorExercise; });
    fields.text(
        tr("Medication"), [](auto& is) -> auto& { return is.conditions.medication; });
    fields.text(
        tr("Criterion’s epoch, smoothing"), [](auto& is) -> auto& { return is.conditions.processing; });
}

void ParticularsPanel::addWearing(const WearingRow& wearing) {
    const QString device = qt(wearing.deviceLabel);
    const bool failed = wearing.outcome == WearingOutcome::Failed;
    RowFields<WearingId, WearingParticulars> fields(
        *section(tr("%1, as worn").arg(device), failed ? tr("recorded nothing") : QString()), library_,
        wearing.id, device);
    fields.choice(
        tr("Role"), roleWords(), [](auto& is) { return roleWords()[static_cast<int>(is.role)]; },
        [](auto& is, const QString& word) -> std::optional<QString> {
            is.role = static_cast<Role>(roleWords().indexOf(word));
            return std::nullopt;
        });
    fields.custom(
        tr("Device"),
        [this](auto& is) {
            const auto* found = library_.contents()->device(is.device);
            return found ? qt(found->label) : QString();
        },
        [this](auto& is, const QString& typed) -> std::optional<QString> {
            if (typed.isEmpty()) return tr("A wearing needs a device.");
            if (const auto id = library_.device(typed)) is.device = *id;
            return std::nullopt;
        },
        labelsOf(library_.contents()->devices));
    if (failed)
        fields.text(
            tr("Why it failed"), [](auto& is) -> auto& { return is.reason; });
    fields.text(
        tr("Unit"), [](auto& is) -> auto& { return is.facts.unit; });
    fields.text(
        tr("Firmware"), [](auto& is) -> auto& { return is.facts.firmware; });
    fields.text(tr("Position"), [](auto& is) -> auto& { return is.facts.position; },
                {tr("wrist"), tr("upper arm"), tr("forearm"), tr("chest"), tr("finger")});
    fields.text(
        tr("As instructed"), [](auto& is) -> auto& { return is.facts.instructed; });
    fields.text(tr("Side"), [](auto& is) -> auto& { return is.facts.side; }, {tr("left"), tr("right")});
    fields.text(tr("Tightness"), [](auto& is) -> auto& { return is.facts.tightness; },
                {tr("loose"), tr("snug"), tr("tight")});
    fields.text(
        tr("Mode"), [](auto& is) -> auto& { return is.facts.mode; });
    if (wearing.role == Role::Reference)
        fields.text(tr("Electrodes"), [](auto& is) -> auto& { return is.facts.electrodes; },
                    {tr("wetted"), tr("dry"), tr("gel")});
    if (failed || wearing.role != Role::Test) return;
    fields.choice(
        tr("Clock"), clockWords(), [](auto& is) { return clockWords()[static_cast<int>(is.clock.method)]; },
        [](auto& is, const QString& word) -> std::optional<QString> {
            is.clock.method = static_cast<ClockMethod>(clockWords().indexOf(word));
            return std::nullopt;
        });
    fields.custom(
        tr("Offset, s"),
        [](auto& is) {
            return is.clock.method == ClockMethod::Offset ? signedText(is.clock.offset.value, 2) : QString();
        },
        [](auto& is, const QString& typed) -> std::optional<QString> {
            const auto offset = parseOffset(typed);
            if (!typed.isEmpty() && !offset) return tr("Seconds were expected, such as +3.4 or −1:05.");
            is.clock.method = offset ? ClockMethod::Offset : ClockMethod::Auto;
            is.clock.offset = offset.value_or(Seconds{});
            return std::nullopt;
        });
    fields.custom(
        tr("Drift, ppm"),
        [](auto& is) {
            return is.clock.method == ClockMethod::Offset ? signedText(is.clock.drift.value, 1) : QString();
        },
        [](auto& is, const QString& typed) -> std::optional<QString> {
            bool isNumber = true;
            QString plain = typed;
            plain.replace(minusSign, QLatin1Char('-')).replace(QLatin1Char(','), QLatin1Char('.'));
            const double drift = typed.isEmpty() ? 0 : plain.toDouble(&isNumber);
            if (!isNumber || std::abs(drift) > 10000)
                return tr("A number from −10000 to 10000 was expected.");
            if (is.clock.method != ClockMethod::Offset) return tr("A drift goes with a typed offset.");
            is.clock.drift = Ppm{drift};
            return std::nullopt;
        });
}

void ParticularsPanel::addWearer(WearerId id) {
    auto* list = section(tr("Wearer"));
    RowFields<WearerId, WearerParticulars> fields(*list, library_, id, tr("wearer"));
    fields.text(
        tr("Label"), [](auto& is) -> auto& { return is.label; });
    fields.text(
        tr("Sex"), [](auto& is) -> auto& { return is.sex; });
    fields.number(
        tr("Year of birth"), [](auto& is) -> auto& { return is.birthYear; }, 1900, 2100);
    fields.number(
        tr("Height, cm"), [](auto& is) -> auto& { return is.height_cm; }, 50, 250);
    fields.number(
        tr("Mass, kg"), [](auto& is) -> auto& { return is.mass_kg; }, 10, 400);
    list->addFact(tr("BMI"), [this, id] { return bmiWords(library_.particulars(id)); });
    fields.text(tr("Skin tone"), [](auto& is) -> auto& { return is.skinTone; },
                {QStringLiteral("Fitzpatrick I"), QStringLiteral("Fitzpatrick II"),
                 QStringLiteral("Fitzpatrick III"), QStringLiteral("Fitzpatrick IV"),
                 QStringLiteral("Fitzpatrick V"), QStringLiteral("Fitzpatrick VI")});
    fields.number(
        tr("Wrist, cm"), [](auto& is) -> auto& { return is.wrist_cm; }, 5, 40);
    fields.text(
        tr("Note"), [](auto& is) -> auto& { return is.note; });
}

void ParticularsPanel::addDevice(DeviceId id) {
    const auto* is = library_.contents()->device(id);
    const QString name = is ? qt(is->label) : tr("device");
    RowFields<DeviceId, DeviceParticulars> fields(*section(tr("%1, the device").arg(name)), library_, id,
                                                  name);
    fields.text(
        tr("Label"), [](auto& row) -> auto& { return row.label; });
    fields.text(tr("Sensor"), [](auto& row) -> auto& { return row.sensor; },
                {tr("ECG, chest strap"), tr("ECG"), tr("PPG, wrist"), tr("PPG, arm"), tr("PPG, finger"),
                 tr("PPG, ear")});
    fields.text(
        tr("Model"), [](auto& row) -> auto& { return row.model; });
    fields.choice(
        tr("Colour"),
        {tr("by order"), QStringLiteral("A"), QStringLiteral("B"), QStringLiteral("C"), QStringLiteral("D")},
        [](auto& row) {
            return row.colour ? QString(QChar('A' + std::clamp(*row.colour, 0, 3))) : tr("by order");
        },
        [](auto& row, const QString& word) -> std::optional<QString> {
            row.colour = word.size() == 1 ? std::optional{word[0].toLatin1() - 'A'} : std::nullopt;
            return std::nullopt;
        });
    fields.text(
        tr("Note"), [](auto& row) -> auto& { return row.note; });
}

void ParticularsPanel::addPlan(PlannedId id) {
    RowFields<PlannedId, PlannedParticulars> fields(*section(tr("Planned session")), library_, id,
                                                    tr("planned session"));
    fields.text(
        tr("Name"), [](auto& is) -> auto& { return is.name; });
    fields.custom(
        tr("Activity"),
        [this](auto& is) {
            const auto* found = is.activity ? library_.contents()->activity(*is.activity) : nullptr;
            return found ? qt(found->label) : QString();
        },
        namedTaker(
            [](auto& is) -> auto& { return is.activity; },
            [this](const QString& label) { return library_.activity(label); }),
        labelsOf(library_.contents()->activities));
    fields.custom(
        tr("Day"), [](auto& is) { return qt(is.day); },
        [](auto& is, const QString& typed) -> std::optional<QString> {
            if (!typed.isEmpty() && !QDate::fromString(typed, Qt::ISODate).isValid())
                return tr("A day was expected, such as 2031-03-20.");
            is.day = typed.toStdString();
            return std::nullopt;
        });
    fields.custom(
        tr("Devices"),
        [this](auto& is) {
            QStringList labels;
            for (const auto device : is.devices)
                if (const auto* found = library_.contents()->device(device)) labels << qt(found->label);
            return labels.join(QStringLiteral(", "));
        },
        [this](auto& is, const QString& typed) -> std::optional<QString> {
            std::set<DeviceId> devices;
            for (const auto& label : typed.split(QLatin1Char(','), Qt::SkipEmptyParts))
                if (const auto device = library_.device(label.trimmed())) devices.insert(*device);
            is.devices.assign(devices.begin(), devices.end());
            return std::nullopt;
        });
    fields.text(
        tr("Note"), [](auto& is) -> auto& { return is.note; });
}

}  // namespace beatwitness::app
