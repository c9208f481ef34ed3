#include "app/windows/import_details.h"

#include <QComboBox>
#include <QDateTime>
#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QVBoxLayout>

#include "widgets/inputs/labels.h"
#include "widgets/inputs/offset_field.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

constexpr auto instantFormat = "yyyy-MM-dd HH:mm:ss";

QComboBox* makeList(const QStringList& items, QWidget* parent) {
    auto* box = new QComboBox(parent);
    box->setEditable(true);
    box->addItem({});
    box->addItems(items);
    box->setInsertPolicy(QComboBox::NoInsert);
    return box;
}

void add(QGridLayout& grid, const QString& text, QWidget* field, int row, int column) {
    auto* label = new QLabel(text, grid.parentWidget());
    label->setBuddy(field);
    field->setAccessibleName(QString(text).remove(QLatin1Char('&')));
    grid.addWidget(label, row, column);
    grid.addWidget(field, row, column + 1);
    grid.setColumnStretch(column + 1, 1);
}

}  // namespace

QString instantWords(RecordingTime time, recording::ClockBasis clock) {
    const auto since = std::chrono::round<std::chrono::seconds>(time.time_since_epoch()).count();
    if (clock != recording::ClockBasis::None)
        return QDateTime::fromSecsSinceEpoch(since, Qt::UTC).toString(QLatin1String(instantFormat));
    return QStringLiteral("%1:%2:%3")
        .arg(since / 3600)
        .arg(since / 60 % 60, 2, 10, QLatin1Char('0'))
        .arg(since % 60, 2, 10, QLatin1Char('0'));
}

std::optional<RecordingTime> parseInstant(const QString& text, recording::ClockBasis clock) {
    if (clock == recording::ClockBasis::None) {
        const auto seconds = parseOffset(text);
        return seconds ? std::optional{RecordingTime{toMicros(*seconds)}} : std::nullopt;
    }
    auto instant = QDateTime::fromString(text.trimmed(), QLatin1String(instantFormat));
    if (!instant.isValid()) return std::nullopt;
    instant.setTimeSpec(Qt::UTC);
    return RecordingTime{std::chrono::seconds{instant.toSecsSinceEpoch()}};
}

ImportDetails::ImportDetails(ImportModel& model, QWidget* parent)
    : QWidget(parent),
      model_(model),
      wearingForm_(new QWidget(this)),
      sessionForm_(new QWidget(this)),
      side_(makeList({tr("left"), tr("right")}, wearingForm_)),
      tightness_(makeList({tr("loose"), tr("snug"), tr("tight")}, wearingForm_)),
      mode_(makeList({}, wearingForm_)),
      from_(new QLineEdit(wearingForm_)),
      to_(new QLineEdit(wearingForm_)),
      note_(new QLineEdit(sessionForm_)),
      because_(makeBody({}, this)),
      spanHint_(makeCaption({}, wearingForm_)) {
    side_->setObjectName(QStringLiteral("sideField"));
    from_->setObjectName(QStringLiteral("fromField"));
    to_->setObjectName(QStringLiteral("toField"));
    note_->setObjectName(QStringLiteral("noteField"));
    because_->setObjectName(QStringLiteral("becauseLabel"));
    auto* worn = new QGridLayout(wearingForm_);
    worn->setContentsMargins(0, 0, 0, 0);
    add(*worn, tr("Si&de"), side_, 0, 0);
    add(*worn, tr("&Tightness"), tightness_, 0, 2);
    add(*worn, tr("&Recording mode"), mode_, 1, 0);
    add(*worn, tr("Takes &from"), from_, 2, 0);
    add(*worn, tr("t&o"), to_, 2, 2);
    worn->addWidget(spanHint_, 3, 0, 1, 4);
    auto* session = new QGridLayout(sessionForm_);
    session->setContentsMargins(0, 0, 0, 0);
    add(*session, tr("&Note"), note_, 0, 0);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(because_);
    column->addWidget(wearingForm_);
    column->addWidget(sessionForm_);
    column->addStretch(1);
    const auto facts = {std::pair{side_, &WearingFacts::side},
                        std::pair{tightness_, &WearingFacts::tightness},
                        std::pair{mode_, &WearingFacts::mode}};
    for (const auto& [box, fact] : facts) {
        connect(box->lineEdit(), &QLineEdit::editingFinished, this,
                [this, box = box, fact = fact] { correctFact(fact, box->currentText()); });
        connect(box, &QComboBox::activated, this,
                [this, box = box, fact = fact] { correctFact(fact, box->currentText()); });
    }
    for (auto* field : {from_, to_})
        connect(field, &QLineEdit::editingFinished, this, &ImportDetails::correctSpan);
    connect(note_, &QLineEdit::editingFinished, this, &ImportDetails::correctNote);
    connect(&model_, &ImportModel::corrected, this, &ImportDetails::refresh);
    refresh();
}

const ProposedWearing* ImportDetails::wearing() const {
    return place_ && place_->wearing >= 0 ? &model_.board().wearing(*place_).is : nullptr;
}

void ImportDetails::setRow(const QModelIndex& index) {
    place_ = model_.placeOf(index);
    because_->setText(index.siblingAtColumn(0).data(Qt::ToolTipRole).toString());
    refresh();
}

void ImportDetails::refresh() {
    // The tree puts the row right after a change of its shape.
    const auto& sessions = model_.board().sessions();
    if (place_ && place_->session >= static_cast<int>(sessions.size())) place_.reset();
    if (place_ && place_->wearing >= 0) {
        const auto& list = place_->session < 0 ? model_.board().unplaced()
                                               : sessions[static_cast<std::size_t>(place_->session)].wearings;
        if (place_->wearing >= static_cast<int>(list.size())) place_.reset();
    }
    filling_ = true;
    wearingForm_->setVisible(wearing() != nullptr);
    sessionForm_->setVisible(place_ && place_->isSession());
    if (place_ && place_->isSession()) {
        const auto& is = sessions[static_cast<std::size_t>(place_->session)].is;
        note_->setText(QString::fromStdString(is.note));
        note_->setEnabled(!is.joins);
    }
    if (const auto* is = wearing()) {
        side_->setEditText(QString::fromStdString(is->facts.side));
        tightness_->setEditText(QString::fromStdString(is->facts.tightness));
        mode_->setEditText(QString::fromStdString(is->facts.mode));
        const auto span = spanOf(*is, *model_.source());
        const bool isOne = is->recordings.size() == 1 && span;
        for (auto* field : {from_, to_})
            field->setEnabled(isOne);
        const auto clock = isOne ? model_.source()->files[is->recordings[0].file].recording().clock
                                 : recording::ClockBasis::None;
        from_->setText(isOne ? instantWords(span->begin, clock) : QString{});
        to_->setText(isOne ? instantWords(span->end, clock) : QString{});
        spanHint_->setText(isOne ? tr("On the clock of the file%1. Empty: all of it.")
                                       .arg(clock == recording::ClockBasis::Utc ? tr(", UTC") : QString{})
                                 : QString{});
    }
    filling_ = false;
}

void ImportDetails::correctFact(std::string WearingFacts::*fact, const QString& text) {
    const auto* is = wearing();
    if (filling_ || !is || is->facts.*fact == text.trimmed().toStdString()) return;
    auto board = model_.board();
    board.wearing(*place_).is.facts.*fact = text.trimmed().toStdString();
    model_.correct(std::move(board));
}

void ImportDetails::correctSpan() {
    const auto* is = wearing();
    if (filling_ || !is || is->recordings.size() != 1) return;
    const auto& file = model_.source()->files[is->recordings[0].file];
    const auto clock = file.recording().clock;
    auto span = *spanOf(*is, *model_.source());
    if (from_->text() == instantWords(span.begin, clock) && to_->text() == instantWords(span.end, clock))
        return;
    const auto all = *file.summary.span;
    const auto begin =
        from_->text().trimmed().isEmpty() ? std::optional{all.begin} : parseInstant(from_->text(), clock);
    const auto end =
        to_->text().trimmed().isEmpty() ? std::optional{all.end} : parseInstant(to_->text(), clock);
    if (!begin || !end || *end <= *begin || *end < all.begin || *begin > all.end) {
        const QString example =
            clock == recording::ClockBasis::None ? QStringLiteral("0:05:00") : instantWords(all.begin, clock);
        spanHint_->setText(tr("Times such as %1 within the file were expected, the first before the second; "
                              "nothing was changed.")
                               .arg(example));
        return;
    }
    auto board = model_.board();
    auto& use = board.wearing(*place_).is.recordings[0];
    use.span = *begin <= all.begin && *end >= all.end ? std::nullopt
                                                      : std::optional{Span<RecordingClock>{*begin, *end}};
    model_.correct(std::move(board));
}

void ImportDetails::correctNote() {
    if (filling_ || !place_ || !place_->isSession()) return;
    auto board = model_.board();
    auto& note = board.session(place_->session).is.note;
    if (note == note_->text().toStdString()) return;
    note = note_->text().toStdString();
    model_.correct(std::move(board));
}

}  // namespace beatwitness::app
