#include "app/pages/phases_panel.h"

#include <QComboBox>
#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <algorithm>
#include <cmath>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/timeline_marks.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

constexpr int mostRows = 6;  ///< in sight; more scroll

QString labelOf(const trace::Phase& phase) {
    return phase.label.empty() ? phaseName(phase.kind) : QString::fromStdString(phase.label);
}

QLineEdit* field(const QString& name, QWidget* parent) {
    auto* edit = new QLineEdit(parent);
    edit->setAccessibleName(name);
    edit->setMinimumHeight(26);
    return edit;
}

}  // namespace

std::optional<double> parseSessionTime(const QString& text) {
    QString rest = text.trimmed();
    const bool negative = rest.startsWith(QLatin1Char('-')) || rest.startsWith(minusSign);
    if (negative) rest = rest.mid(1);
    double seconds = 0;
    const auto parts = rest.split(QLatin1Char(':'));
    if (rest.isEmpty() || parts.size() > 3) return std::nullopt;
    for (const auto& part : parts) {
        bool known = false;
        const double value = QString(part).replace(QLatin1Char(','), QLatin1Char('.')).toDouble(&known);
        if (!known || !std::isfinite(value) || value < 0) return std::nullopt;
        seconds = seconds * 60 + value;
    }
    return negative ? -seconds : seconds;
}

PhasesPanel::PhasesPanel(Document& document, QWidget* parent)
    : Section(tr("Phases"), parent),
      document_(document),
      annotations_(document.annotations()),
      none_(
          makeCaption(tr("Drag one out in the lane under the timeline, or set its begin and end with [ and ] "
                         "at the cursor and press 1 to 9."),
                      this)),
      list_(new QListWidget(this)) {
    fields_ = makeFields();
    proposals_ = makeProposals();
    setObjectName(QStringLiteral("phasesPanel"));
    list_->setObjectName(QStringLiteral("phaseList"));
    list_->setAccessibleName(tr("Phases"));
    list_->setFrameShape(QFrame::NoFrame);
    list_->viewport()->setAutoFillBackground(false);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->setTabKeyNavigation(false);
    for (auto* widget : std::initializer_list<QWidget*>{none_, list_, fields_, proposals_})
        body()->addWidget(widget);
    connect(list_, &QListWidget::currentRowChanged, this, [this](int row) {
        if (!filling_) annotations_.selectPhase(row < 0 ? std::nullopt : std::optional<std::size_t>(row));
    });
    connect(list_, &QListWidget::itemActivated, this, [this](QListWidgetItem* item) {
        const auto& phase = annotations_.phases()[static_cast<std::size_t>(list_->row(item))];
        emit goTo(annotations_.secondsAt(phase.span.begin), annotations_.secondsAt(phase.span.end));
    });
    connect(&annotations_, &Annotations::changed, this, &PhasesPanel::refresh);
    connect(&annotations_, &Annotations::selectionChanged, this, &PhasesPanel::refreshFields);
    connect(&annotations_, &Annotations::proposalsChanged, this, &PhasesPanel::refreshProposals);
    refreshProposals();
}

QWidget* PhasesPanel::makeFields() {
    auto* box = new QWidget(this);
    name_ = field(tr("Name of the phase"), box);
    name_->setObjectName(QStringLiteral("phaseName"));
    kind_ = new QComboBox(box);
    kind_->setMinimumHeight(26);
    kind_->setAccessibleName(tr("Kind of the phase"));
    for (int i = 0; i < trace::phaseKinds; ++i)
        kind_->addItem(phaseName(static_cast<trace::PhaseKind>(i)));
    begin_ = field(tr("Begin of the phase"), box);
    begin_->setObjectName(QStringLiteral("phaseBegin"));
    end_ = field(tr("End of the phase"), box);
    end_->setObjectName(QStringLiteral("phaseEnd"));
    auto* grid = new QGridLayout(box);
    grid->setContentsMargins(0, 2, 0, 2);
    grid->setHorizontalSpacing(8);
    grid->setVerticalSpacing(4);
    grid->addWidget(new QLabel(tr("name"), box), 0, 0);
    grid->addWidget(name_, 0, 1, 1, 3);
    grid->addWidget(new QLabel(tr("kind"), box), 1, 0);
    grid->addWidget(kind_, 1, 1, 1, 3);
    grid->addWidget(new QLabel(tr("from"), box), 2, 0);
    grid->addWidget(begin_, 2, 1);
    grid->addWidget(new QLabel(tr("to"), box), 2, 2);
    grid->addWidget(end_, 2, 3);
    for (auto* edit : {name_, begin_, end_})
        connect(edit, &QLineEdit::editingFinished, this, &PhasesPanel::commitFields);
    connect(kind_, &QComboBox::activated, this, &PhasesPanel::commitFields);
    return box;
}

QWidget* PhasesPanel::makeProposals() {
    auto* box = new QWidget(this);
    proposalsText_ = makeCaption({}, box);
    auto* take = new QPushButton(tr("Take all over"), box);
    take->setObjectName(QStringLiteral("takeAll"));
    auto* drop = new QPushButton(tr("Dismiss"), box);
    for (auto* button : {take, drop})
        button->setMinimumHeight(28);
    auto* buttons = new QHBoxLayout;
    buttons->addWidget(take);
    buttons->addWidget(drop);
    buttons->addStretch(1);
    auto* column = new QVBoxLayout(box);
    column->setContentsMargins(0, 2, 0, 2);
    column->addWidget(proposalsText_);
    column->addLayout(buttons);
    connect(take, &QPushButton::clicked, &annotations_, &Annotations::takeAllProposals);
    connect(drop, &QPushButton::clicked, &annotations_, &Annotations::dropProposals);
    return box;
}

void PhasesPanel::refresh() {
    filling_ = true;
    list_->clear();
    if (document_.hasSession())
        for (const auto& phase : annotations_.phases()) {
            const double begin = annotations_.secondsAt(phase.span.begin),
                         end = annotations_.secondsAt(phase.span.end);
            list_->addItem(QString(phase.level * 3, QChar::Nbsp) +
                           tr("%1 \u00B7 %2 to %3, %4")
                               .arg(labelOf(phase), sessionTimeText(begin), sessionTimeText(end),
                                    durationText(end - begin)));
        }
    filling_ = false;
    const int count = list_->count();
    list_->setVisible(count > 0);
    none_->setVisible(count == 0);
    setState(count > 0 ? QString::number(count) : QString());
    if (count > 0) list_->setFixedHeight(list_->sizeHintForRow(0) * std::min(count, mostRows) + 4);
    refreshFields();
}

std::optional<std::size_t> PhasesPanel::selectedRow() const {
    const auto selected = annotations_.selectedPhase();
    return document_.hasSession() && selected && *selected < annotations_.phases().size() ? selected
                                                                                          : std::nullopt;
}

void PhasesPanel::refreshFields() {
    const auto selected = selectedRow();
    filling_ = true;
    list_->setCurrentRow(selected ? static_cast<int>(*selected) : -1);
    filling_ = false;
    fields_->setVisible(selected.has_value());
    if (!selected) return;
    const auto& phase = annotations_.phases()[*selected];
    name_->setText(QString::fromStdString(phase.label));
    name_->setPlaceholderText(phaseName(phase.kind));
    kind_->setCurrentIndex(static_cast<int>(phase.kind));
    begin_->setText(sessionTimeText(annotations_.secondsAt(phase.span.begin)));
    end_->setText(sessionTimeText(annotations_.secondsAt(phase.span.end)));
}

void PhasesPanel::commitFields() {
    const auto selected = selectedRow();
    if (!selected || filling_) return;
    auto plan = annotations_.phases();
    auto& phase = plan[*selected];
    phase.label = name_->text().trimmed().toStdString();
    phase.kind = static_cast<trace::PhaseKind>(kind_->currentIndex());
    const auto moved = [this](const QLineEdit& edit, ReferenceTime was) -> std::optional<ReferenceTime> {
        // What is shown is rounded: a field that was not touched moves nothing.
        if (edit.text() == sessionTimeText(annotations_.secondsAt(was))) return was;
        const auto seconds = parseSessionTime(edit.text());
        return seconds ? std::optional{annotations_.instantAt(*seconds)} : std::nullopt;
    };
    const auto begin = moved(*begin_, phase.span.begin), end = moved(*end_, phase.span.end);
    if (!begin || !end) {
        emit annotations_.refused(tr("A time such as 12:30 was expected in the phase's begin and end."));
        return refreshFields();
    }
    phase.span = {*begin, *end};
    if (plan == annotations_.phases()) return;
    if (!annotations_.changePhases(trace::levelled(plan), tr("change of a phase"), *begin)) refreshFields();
}

void PhasesPanel::refreshProposals() {
    const auto count = annotations_.proposals().size();
    proposals_->setVisible(count > 0);
    proposalsText_->setText(
        tr("%1 proposals stand under the lane. A double-click takes one over, Enter the one at the cursor.")
            .arg(count));
}

void PhasesPanel::rename() {
    if (!selectedRow()) return;
    name_->setFocus(Qt::ShortcutFocusReason);
    name_->selectAll();
}

}  // namespace beatwitness::app
