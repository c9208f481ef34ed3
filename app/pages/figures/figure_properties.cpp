#include "app/pages/figures/figure_properties.h"

#include <QCheckBox>
#include <QEvent>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QSignalBlocker>
#include <QTimer>
#include <QVBoxLayout>
#include <algorithm>

#include "app/pages/figures/figure_look.h"
#include "app/pages/figures/figure_words.h"
#include "app/pages/particulars/row_fields.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/check_menu.h"
#include "widgets/inputs/field_list.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/section.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

using Fields = RowFields<FigureId, FigureParticulars>;
using Kind = report::FigureKind;

constexpr int captionLines = 6;

QString qt(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

std::optional<QString> sentenceOf(const Fault& fault) {
    QString text = QString::fromStdString(fault.message);
    if (!text.isEmpty()) text[0] = text[0].toUpper();
    return text + QLatin1Char('.');
}

bool hasMap(Kind kind) {
    return kind == Kind::Map || kind == Kind::SmallMaps || kind == Kind::Difference || kind == Kind::Overlay;
}

/// A list of ids as ticks over `all`.
template <class RowId>
std::vector<int> placesOf(const std::vector<RowId>& ids, const std::vector<RowId>& all) {
    std::vector<int> places;
    for (std::size_t i = 0; i < all.size(); ++i)
        if (std::ranges::find(ids, all[i]) != ids.end()) places.push_back(static_cast<int>(i));
    return places;
}

template <class RowId>
std::vector<RowId> idsAt(const std::vector<int>& places, const std::vector<RowId>& all) {
    std::vector<RowId> ids;
    for (const int place : places)
        ids.push_back(all[static_cast<std::size_t>(place)]);
    std::ranges::sort(ids);
    return ids;
}

std::vector<ActivityId> activitiesOf(const LibraryContents& contents, ProjectId project) {
    std::vector<ActivityId> found;
    for (const auto& row : contents.activities)
        for (const auto& session : contents.sessions)
            if (session->activityId == row.id && contents.isMember(project, session->id)) {
                found.push_back(row.id);
                break;
            }
    return found;
}

}  // namespace

FigureProperties::FigureProperties(LibraryDocument& library, QWidget* parent)
    : QScrollArea(parent), library_(library) {
    setObjectName(QStringLiteral("figureProperties"));
    setAccessibleName(tr("Properties of the figure"));
    setFrameShape(NoFrame);
    setWidgetResizable(true);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    connect(&library_, &LibraryDocument::changed, this, &FigureProperties::follow);
    rebuild();
}

const FigureParticulars* FigureProperties::figure() const {
    return id_ && library_.contents() ? library_.contents()->figure(*id_) : nullptr;
}

void FigureProperties::showFigure(std::optional<FigureId> figure) {
    if (caption_ && caption_->document()->isModified()) takeCaption();
    id_ = figure;
    follow();
}

/// Fields are made for a figure, its kind and what there is to choose from.
std::vector<std::int64_t> FigureProperties::structure() const {
    const auto* is = figure();
    if (!is) return {};
    const auto& contents = *library_.contents();
    std::vector<std::int64_t> ids{id_->value, std::int64_t(std::hash<std::string>{}(is->content.kind)),
                                  library_.canWrite()};
    for (const auto device : contents.columnsOf(is->project))
        ids.push_back(device.value);
    for (const auto activity : activitiesOf(contents, is->project))
        ids.push_back(-activity.value);
    for (const auto& session : contents.sessions)
        if (contents.isMember(is->project, session->id)) ids.push_back(session->id.value);
    return ids;
}

void FigureProperties::follow() {
    if (structure() == shown_) return refresh();
    // A field that is being left may be the reason: it goes when it is done.
    QTimer::singleShot(0, this, [this] {
        if (structure() != shown_) rebuild();
    });
}

void FigureProperties::refresh() {
    const auto* is = figure();
    if (!is) return;
    for (auto* list : lists_)
        list->refresh();
    for (const auto& follower : followers_)
        follower(*is);
}

QVBoxLayout* FigureProperties::section(const QString& title) {
    auto* section = new Section(title, widget());
    column_->addWidget(section);
    return section->body();
}

void FigureProperties::rebuild() {
    shown_ = structure();
    lists_.clear();
    followers_.clear();
    caption_ = nullptr;
    auto* contents = new QWidget;
    column_ = new QVBoxLayout(contents);
    column_->setContentsMargins(18, 12, 18, 12);
    column_->setSpacing(12);
    if (auto* old = takeWidget()) old->deleteLater();
    setWidget(contents);
    if (const auto* is = figure()) {
        if (const auto kind = report::figureKindOf(is->content.kind)) {
            addContent(*is, *kind);
            addWords();
            addLook();
        } else {
            column_->addWidget(
                makeBody(tr("A later program made this figure; this one cannot show it."), contents));
        }
        for (auto* list : lists_)
            list->setReadOnly(!library_.canWrite());
        refresh();
    } else {
        column_->addWidget(
            makeCaption(tr("What the figure at hand shows, its words and its look."), contents));
    }
    column_->addStretch(1);
}

void FigureProperties::change(const QString& what, const std::function<void(Figure&)>& make) {
    auto is = id_ ? library_.particulars(*id_) : std::nullopt;
    if (!is) return;
    make(*is);
    library_.edit(what, {RowOf<FigureId, FigureParticulars>{*id_, std::move(*is)}});
}

void FigureProperties::addCheck(QVBoxLayout& column, const QString& text, const QString& undo,
                                bool& (*member)(Figure&)) {
    auto* check = new QCheckBox(text, widget());
    check->setMinimumHeight(24);
    check->setEnabled(library_.canWrite());
    column.addWidget(check);
    connect(check, &QCheckBox::clicked, this,
            [this, undo, member](bool on) { change(undo, [=](Figure& is) { member(is) = on; }); });
    followers_.push_back([check, member](const Figure& is) {
        auto copy = is;
        check->setChecked(member(copy));
    });
}

void FigureProperties::addSession(FieldList& fields) {
    const auto& contents = *library_.contents();
    const auto project = figure()->project;
    std::vector<SessionId> ids{SessionId{}};
    QStringList names{tr("the first of the project")};
    for (const auto& session : contents.sessions)
        if (contents.isMember(project, session->id)) {
            QString name = qt(session->name);
            if (session->start) name += QStringLiteral(" · ") + dayOf(*session->start);
            while (names.contains(name))
                name += QStringLiteral(" (2)");
            ids.push_back(session->id);
            names << name;
        }
    Fields row(fields, library_, *id_, tr("figure"));
    row.choice(
        tr("Session"), names,
        [ids, names](const Figure& is) {
            const auto at = std::ranges::find(ids, is.content.session.value_or(SessionId{}));
            return at == ids.end() ? tr("gone from the project") : names[at - ids.begin()];
        },
        [ids, names](Figure& is, const QString& chosen) -> std::optional<QString> {
            const auto at = names.indexOf(chosen);
            is.content.session.reset();
            if (at > 0) is.content.session = ids[static_cast<std::size_t>(at)];
            return std::nullopt;
        });
    const auto part = [&](const QString& label, std::optional<double> FigureContent::*member,
                          const QString& none) {
        auto* edit = row.custom(
            label,
            [member](const Figure& is) {
                return is.content.*member ? sessionTimeText(*(is.content.*member)) : QString();
            },
            [member](Figure& is, const QString& typed) -> std::optional<QString> {
                const auto time = sessionTimeOf(typed);
                if (!typed.isEmpty() && !time) return tr("A session time such as 12:30 was expected.");
                is.content.*member = time;
                if (is.content.begin_s && is.content.end_s && *is.content.end_s <= *is.content.begin_s)
                    return tr("The end must lie behind the begin.");
                return std::nullopt;
            });
        edit->setPlaceholderText(none);
    };
    part(tr("From"), &FigureContent::begin_s, tr("the begin"));
    part(tr("To"), &FigureContent::end_s, tr("the end"));
}

void FigureProperties::addDevices(FieldList& fields) {
    const auto& contents = *library_.contents();
    const auto devices = contents.columnsOf(figure()->project);
    const auto activities = activitiesOf(contents, figure()->project);
    QStringList deviceNames, activityNames;
    for (const auto device : devices)
        deviceNames << (contents.device(device) ? qt(contents.device(device)->label) : QString());
    for (const auto activity : activities)
        activityNames << qt(contents.activity(activity)->label);
    auto* deviceMenu = new CheckMenu(deviceNames, tr("all"), &fields);
    auto* activityMenu = new CheckMenu(activityNames, tr("all"), &fields);
    fields.addEditor(tr("Devices"), deviceMenu);
    fields.addEditor(tr("Activities"), activityMenu);
    for (auto* menu : {deviceMenu, activityMenu})
        menu->setEnabled(library_.canWrite());
    connect(deviceMenu, &CheckMenu::chosen, this, [=, this] {
        change(tr("devices of the figure"),
               [&](Figure& is) { is.content.devices = idsAt(deviceMenu->checked(), devices); });
    });
    connect(activityMenu, &CheckMenu::chosen, this, [=, this] {
        change(tr("activities of the figure"),
               [&](Figure& is) { is.content.activities = idsAt(activityMenu->checked(), activities); });
    });
    followers_.push_back([=](const Figure& is) {
        deviceMenu->setChecked(placesOf(is.content.devices, devices));
        activityMenu->setChecked(placesOf(is.content.activities, activities));
    });
}

void FigureProperties::addShown(QVBoxLayout& column) {
    addCheck(column, tr("Flagged stretches"), tr("flags in the figure"),
             [](Figure& is) -> bool& { return is.content.flags; });
    addCheck(column, tr("Phases"), tr("phases in the figure"),
             [](Figure& is) -> bool& { return is.content.phases; });
    addCheck(column, tr("Pins"), tr("pins in the figure"),
             [](Figure& is) -> bool& { return is.content.pins; });
    addCheck(column, tr("Error strip"), tr("error strip in the figure"),
             [](Figure& is) -> bool& { return is.content.errorStrip; });
    addCheck(column, tr("Agreement map beside"), tr("map in the figure"),
             [](Figure& is) -> bool& { return is.content.mapBeside; });
}

void FigureProperties::addContent(const Figure&, Kind kind) {
    auto* body = section(tr("What it shows"));
    auto* fields = new FieldList(widget());
    body->addWidget(fields);
    lists_.push_back(fields);
    Fields row(*fields, library_, *id_, tr("figure"));
    QStringList kinds;
    for (const auto each : report::allFigureKinds)
        kinds << qt(report::figureKindTitle(each));
    row.choice(
        tr("Kind"), kinds,
        [](const Figure& is) {
            const auto each = report::figureKindOf(is.content.kind);
            return each ? qt(report::figureKindTitle(*each)) : QString();
        },
        [kinds](Figure& is, const QString& chosen) -> std::optional<QString> {
            const auto at = static_cast<std::size_t>(std::max<qsizetype>(0, kinds.indexOf(chosen)));
            is.content.kind = report::figureKindName(report::allFigureKinds[at]);
            return std::nullopt;
        });
    if (report::showsSession(kind)) addSession(*fields);
    addDevices(*fields);
    const QStringList clocks{tr("aligned"), tr("as recorded")}, faults{tr("left out"), tr("kept")};
    row.choice(
        tr("Clock"), clocks, [clocks](const Figure& is) { return clocks[is.content.aligned ? 0 : 1]; },
        [clocks](Figure& is, const QString& chosen) -> std::optional<QString> {
            is.content.aligned = chosen == clocks[0];
            return std::nullopt;
        });
    row.choice(
        tr("Reference faults"), faults,
        [faults](const Figure& is) { return faults[is.content.excludeReferenceFaults ? 0 : 1]; },
        [faults](Figure& is, const QString& chosen) -> std::optional<QString> {
            is.content.excludeReferenceFaults = chosen == faults[0];
            return std::nullopt;
        });
    if (!report::showsSession(kind) && kind != Kind::Sessions)
        row.custom(
            tr("Epoch, s"), [](const Figure& is) { return QString::number(is.content.epoch_s); },
            [](Figure& is, const QString& typed) -> std::optional<QString> {
                const int epoch = typed.toInt();
                if (epoch < 1 || epoch > 60) return tr("A whole number from 1 to 60 was expected.");
                is.content.epoch_s = epoch;
                return std::nullopt;
            });
    if (hasMap(kind)) {
        const QStringList scales{tr("logarithmic"), tr("cube root"), tr("linear")};
        const QStringList names{QStringLiteral("log"), QStringLiteral("cube-root"), QStringLiteral("linear")};
        row.choice(
            tr("Counts in maps"), scales,
            [=](const Figure& is) { return scales.value(names.indexOf(qt(is.content.scale)), scales[0]); },
            [=](Figure& is, const QString& chosen) -> std::optional<QString> {
                is.content.scale = names[std::max<qsizetype>(0, scales.indexOf(chosen))].toStdString();
                return std::nullopt;
            });
    }
    if (kind == Kind::Overlay) addShown(*body);
    if (kind == Kind::Sessions)
        addCheck(*body, tr("Flagged stretches"), tr("flags in the figure"),
                 [](Figure& is) -> bool& { return is.content.flags; });
}

void FigureProperties::addWords() {
    auto* body = section(tr("Words"));
    auto* fields = new FieldList(widget());
    body->addWidget(fields);
    lists_.push_back(fields);
    Fields row(*fields, library_, *id_, tr("figure"));
    row.custom(
        tr("Name"), [](const Figure& is) { return qt(is.name); },
        [](Figure& is, const QString& typed) -> std::optional<QString> {
            if (typed.isEmpty()) return tr("A figure needs a name.");
            is.name = typed.toStdString();
            return std::nullopt;
        });
    titleEdit_ = row.text(tr("Title"), [](Figure& is) -> std::string& { return is.texts.title; });
    subtitleEdit_ = row.text(tr("Subtitle"), [](Figure& is) -> std::string& { return is.texts.subtitle; });
    body->addWidget(makeCaption(tr("Caption, beside the figure; empty: as the program words it"), widget()));
    caption_ = new QPlainTextEdit(widget());
    caption_->setAccessibleName(tr("Caption"));
    caption_->setTabChangesFocus(true);
    caption_->setFixedHeight(fontMetrics().lineSpacing() * captionLines + 12);
    caption_->setReadOnly(!library_.canWrite());
    caption_->installEventFilter(this);
    body->addWidget(caption_);
    followers_.push_back([this](const Figure& is) {
        const QString now = qt(is.texts.caption);
        if (!caption_->document()->isModified() && caption_->toPlainText() != now)
            caption_->setPlainText(now);
    });
    setOwnWords(title_, subtitle_, ownCaption_);
}

void FigureProperties::addLook() {
    auto* body = section(tr("Look"));
    auto* fields = new FieldList(widget());
    body->addWidget(fields);
    lists_.push_back(fields);
    Fields row(*fields, library_, *id_, tr("figure"));
    const QStringList themes{tr("light"), tr("dark")};
    row.choice(
        tr("Theme"), themes, [themes](const Figure& is) { return themes[is.look.dark ? 1 : 0]; },
        [themes](Figure& is, const QString& chosen) -> std::optional<QString> {
            is.look.dark = chosen == themes[1];
            return std::nullopt;
        });
    const auto sizes = presetSizes();
    QStringList words;
    for (const auto& size : sizes)
        words << size.words;
    const QString own = tr("own size");
    row.choice(
        tr("Size"), words + QStringList{own},
        [sizes, own](const Figure& is) {
            const auto at = std::ranges::find(sizes, qt(is.look.size), &PresetSize::size);
            return at == sizes.end() ? own : at->words;
        },
        [sizes](Figure& is, const QString& chosen) -> std::optional<QString> {
            const auto at = std::ranges::find(sizes, chosen, &PresetSize::words);
            if (at == sizes.end()) return tr("Type the size below, such as 1280x720 or 100mm.");
            is.look.size = at->size.toStdString();
            return std::nullopt;
        });
    row.custom(
        tr("Pixels or mm"), [](const Figure& is) { return qt(is.look.size); },
        [](Figure& is, const QString& typed) -> std::optional<QString> {
            const QString size =
                QString(typed).remove(QLatin1Char(' ')).replace(QChar(0xd7), QLatin1Char('x')).toLower();
            const auto figure = checkedSize(size, 300);
            if (!figure) return sentenceOf(figure.fault());
            is.look.size = size.toStdString();
            return std::nullopt;
        });
    row.custom(
        tr("Dots an inch"), [](const Figure& is) { return QString::number(is.look.dpi); },
        [](Figure& is, const QString& typed) -> std::optional<QString> {
            const auto figure = checkedSize(QStringLiteral("85mm"), typed.toInt());
            if (!figure) return sentenceOf(figure.fault());
            is.look.dpi = typed.toInt();
            return std::nullopt;
        });
    addCheck(*body, tr("Transparent background"), tr("background of the figure"),
             [](Figure& is) -> bool& { return is.look.transparent; });
    addCheck(*body, tr("Grey, as in black-and-white print"), tr("colour of the figure"),
             [](Figure& is) -> bool& { return is.look.grey; });
}

void FigureProperties::setOwnWords(const QString& title, const QString& subtitle, const QString& caption) {
    title_ = title;
    subtitle_ = subtitle;
    ownCaption_ = caption;
    if (!caption_) return;
    caption_->setPlaceholderText(caption);
    titleEdit_->setPlaceholderText(title);
    subtitleEdit_->setPlaceholderText(subtitle);
}

void FigureProperties::takeCaption() {
    const auto typed = caption_->toPlainText().simplified().toStdString();
    caption_->document()->setModified(false);
    change(tr("caption of the figure"), [&](Figure& is) { is.texts.caption = typed; });
}

void FigureProperties::takeFocus() {
    if (auto* edit = widget() ? widget()->findChild<QLineEdit*>() : nullptr)
        edit->setFocus(Qt::OtherFocusReason);
}

bool FigureProperties::eventFilter(QObject* watched, QEvent* event) {
    if (watched == caption_ && event->type() == QEvent::FocusOut && caption_->document()->isModified())
        takeCaption();
    return QScrollArea::eventFilter(watched, event);
}

}  // namespace beatwitness::app
