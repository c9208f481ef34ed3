#include "app/pages/pins_panel.h"

#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QSignalBlocker>
#include <QVBoxLayout>
#include <algorithm>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "core/agreement/pair_filter.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/cursor_reading.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

constexpr int mostRows = 5;

}  // namespace

PinsPanel::PinsPanel(Document& document, QWidget* parent)
    : Section(tr("Pins"), parent),
      document_(document),
      annotations_(document.annotations()),
      none_(makeCaption(tr("M marks the second at the cursor. Two pins measure what lies between them."),
                        this)),
      list_(new QListWidget(this)),
      note_(new QLineEdit(this)),
      between_(makeBody({}, this)) {
    setObjectName(QStringLiteral("pinsPanel"));
    list_->setObjectName(QStringLiteral("pinList"));
    list_->setAccessibleName(tr("Pins"));
    list_->setSelectionMode(QAbstractItemView::ExtendedSelection);
    list_->setFrameShape(QFrame::NoFrame);
    list_->viewport()->setAutoFillBackground(false);
    list_->setTabKeyNavigation(false);
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->installEventFilter(this);
    note_->setObjectName(QStringLiteral("pinNote"));
    note_->setAccessibleName(tr("Note of the pin"));
    note_->setPlaceholderText(tr("note"));
    note_->setMinimumHeight(26);
    between_->setObjectName(QStringLiteral("betweenPins"));
    for (auto* widget : std::initializer_list<QWidget*>{none_, list_, note_, between_})
        body()->addWidget(widget);
    connect(list_, &QListWidget::itemSelectionChanged, this, &PinsPanel::refreshSelection);
    connect(list_, &QListWidget::itemActivated, this, [this](QListWidgetItem* item) {
        emit goTo(annotations_.secondsAt(annotations_.pins()[static_cast<std::size_t>(list_->row(item))].at));
    });
    connect(note_, &QLineEdit::editingFinished, this, &PinsPanel::commitNote);
    connect(&annotations_, &Annotations::changed, this, &PinsPanel::refresh);
    connect(&document_, &Document::clockViewChanged, this, &PinsPanel::refreshSelection);
    connect(&document_, &Document::focusTestChanged, this, &PinsPanel::refreshSelection);
    refresh();
}

QList<int> PinsPanel::selectedRows() const {
    QList<int> rows;
    for (auto* item : list_->selectedItems())
        rows << list_->row(item);
    std::ranges::sort(rows);
    return rows;
}

void PinsPanel::refresh() {
    const auto selected = selectedRows();
    {
        const QSignalBlocker quiet(list_);
        list_->clear();
        if (document_.hasSession())
            for (std::size_t i = 0; i < annotations_.pins().size(); ++i) {
                const auto& pin = annotations_.pins()[i];
                const QString time = sessionTimeText(annotations_.secondsAt(pin.at));
                list_->addItem(pin.note.empty() ? tr("%1 \u00B7 %2").arg(i + 1).arg(time)
                                                : tr("%1 \u00B7 %2 \u00B7 %3")
                                                      .arg(QString::number(i + 1), time,
                                                           QString::fromStdString(pin.note)));
            }
        for (const int row : selected)
            if (auto* item = list_->item(row)) item->setSelected(true);
    }
    const int count = list_->count();
    list_->setVisible(count > 0);
    none_->setVisible(count == 0);
    setState(count > 0 ? QString::number(count) : QString());
    if (count > 0) list_->setFixedHeight(list_->sizeHintForRow(0) * std::min(count, mostRows) + 4);
    refreshSelection();
}

void PinsPanel::refreshSelection() {
    const auto rows = selectedRows();
    note_->setVisible(rows.size() == 1);
    if (rows.size() == 1)
        note_->setText(
            QString::fromStdString(annotations_.pins()[static_cast<std::size_t>(rows.front())].note));
    const QString words = measurement();
    between_->setText(words);
    between_->setVisible(!words.isEmpty());
}

QString PinsPanel::measurement() const {
    if (!document_.hasSession()) return {};
    auto rows = selectedRows();
    if (rows.size() != 2 && annotations_.pins().size() == 2) rows = {0, 1};
    if (rows.size() != 2) return {};
    const auto at = [&](int row) {
        return annotations_.secondsAt(annotations_.pins()[static_cast<std::size_t>(row)].at);
    };
    agreement::PairFilter filter;
    filter.range = {sessionTime(at(rows[0])), sessionTime(at(rows[1]))};
    const auto pairs =
        agreement::filtered(shownView(document_.test(), document_.showsAligned()).pairs, filter);
    const auto numbers = agreement::agreementOf(pairs);
    const auto name = testName(*document_.analysis(), static_cast<int>(document_.focusTest()));
    return tr("Between pins %1 and %2: %3, %4 pairs; bias %5, MAE %6; reference %7, %8 %9 on average.")
        .arg(QString::number(rows[0] + 1), QString::number(rows[1] + 1),
             secondsText(at(rows[1]) - at(rows[0])), countText(pairs.size()), errorText(numbers.bias, 2),
             spreadText(numbers.mae, 2), bpmText(agreement::meanRate(pairs.reference), 1), name,
             bpmText(agreement::meanRate(pairs.test), 1));
}

void PinsPanel::commitNote() {
    const auto rows = selectedRows();
    if (rows.size() != 1 || !document_.hasSession()) return;
    auto pins = annotations_.pins();
    auto& pin = pins[static_cast<std::size_t>(rows.front())];
    if (pin.note == note_->text().toStdString()) return;
    pin.note = note_->text().toStdString();
    annotations_.setPins(std::move(pins), tr("note of a pin"));
}

void PinsPanel::removeSelected() {
    const auto rows = selectedRows();
    auto pins = annotations_.pins();
    for (auto row = rows.rbegin(); row != rows.rend(); ++row)
        pins.erase(pins.begin() + *row);
    if (!rows.isEmpty()) annotations_.setPins(std::move(pins), tr("removal of pins"));
}

bool PinsPanel::eventFilter(QObject* watched, QEvent* event) {
    if (watched == list_ && event->type() == QEvent::KeyPress &&
        static_cast<QKeyEvent*>(event)->key() == Qt::Key_Delete) {
        removeSelected();
        return true;
    }
    return Section::eventFilter(watched, event);
}

}  // namespace beatwitness::app
