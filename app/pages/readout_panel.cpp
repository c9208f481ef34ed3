#include "app/pages/readout_panel.h"

#include <QGridLayout>
#include <QLabel>
#include <QVBoxLayout>
#include <algorithm>

#include "app/document/annotations.h"
#include "app/document/document.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/swatch.h"
#include "widgets/plots/context_line.h"
#include "widgets/plots/cursor_reading.h"
#include "widgets/plots/timeline_marks.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

ReadoutPanel::ReadoutPanel(Document& document, QWidget* parent)
    : Section(tr("At the cursor"), parent),
      document_(document),
      grid_(new QGridLayout),
      hint_(makeCaption(tr("Point at the timeline, or step along it with the arrow keys."), this)) {
    grid_->setColumnStretch(2, 1);
    grid_->setHorizontalSpacing(8);
    grid_->setVerticalSpacing(3);
    body()->addWidget(hint_);
    body()->addLayout(grid_);
    connect(&document_, &Document::analysisChanged, this, [this] { setCursor(std::nullopt); });
    connect(&document_, &Document::clockViewChanged, this, &ReadoutPanel::refresh);
    connect(&document_.annotations(), &Annotations::changed, this, &ReadoutPanel::refresh);
    connect(&document_, &Document::focusTestChanged, this, &ReadoutPanel::refresh);
}

void ReadoutPanel::setCursor(std::optional<double> seconds) {
    seconds_ = seconds;
    refresh();
}

void ReadoutPanel::setContext(std::shared_ptr<const analysis::ContextTrace> trace, const QString& name) {
    context_ = std::move(trace);
    contextName_ = name;
    refresh();
}

void ReadoutPanel::refresh() {
    const bool reading = seconds_ && document_.hasSession();
    hint_->setVisible(!reading);
    setState(reading ? sessionTimeText(*seconds_) : QString());
    show(reading ? rowsAt(*seconds_) : std::vector<Row>{});
}

std::vector<ReadoutPanel::Row> ReadoutPanel::rowsAt(double seconds) const {
    const auto& session = *document_.analysis();
    const bool aligned = document_.showsAligned();
    const auto front = static_cast<int>(document_.focusTest());
    const auto reading = readingAt(session, front, aligned, seconds);
    std::vector<Row> rows{{tr("wall clock"), wallClockText(session, seconds), noSwatch},
                          {referenceName(session), bpmText(reading.reference), referenceSwatch}};
    for (int i = 0; i < static_cast<int>(session.tests.size()); ++i)
        rows.push_back({testName(session, i), bpmText(readingAt(session, i, aligned, seconds).test), i});
    const QString suffix = session.tests.size() > 1 ? tr(" of %1").arg(testName(session, front)) : QString();
    rows.push_back({tr("error") + suffix, errorText(reading.error, 0), noSwatch});
    std::optional<double> ratio;
    if (reading.error) ratio = reading.test->value / reading.reference->value;
    rows.push_back({tr("ratio") + suffix, numberText(ratio, 2), noSwatch});
    if (context_)
        rows.push_back(
            {contextName_, contextText(context_->kind, contextValueAt(*context_, seconds)), noSwatch});
    for (auto& row : markRows(seconds))
        rows.push_back(std::move(row));
    return rows;
}

std::vector<ReadoutPanel::Row> ReadoutPanel::markRows(double seconds) const {
    std::vector<Row> rows;
    const auto& annotations = document_.annotations();
    if (!annotations.phases().empty()) {
        const auto phase = trace::innermostAt(annotations.phases(), annotations.instantAt(seconds));
        QString name = absentText();
        if (phase) {
            const auto& found = annotations.phases()[*phase];
            name = found.label.empty() ? phaseName(found.kind) : QString::fromStdString(found.label);
        }
        rows.push_back({tr("phase"), name, noSwatch});
    }
    QStringList flagged;
    for (const auto& flag : document_.test().flags)
        if (secondsOf(flag.span.begin) <= seconds && seconds <= secondsOf(flag.span.end))
            flagged << flagName(flag.kind);
    if (!document_.test().flags.empty())
        rows.push_back(
            {tr("flags"), flagged.isEmpty() ? absentText() : flagged.join(QStringLiteral(", ")), noSwatch});
    return rows;
}

void ReadoutPanel::show(const std::vector<Row>& rows) {
    const bool same = std::ranges::equal(
        rows, shown_, [](const Row& a, const Row& b) { return a.name == b.name && a.trace == b.trace; });
    if (!same) rebuild(rows);
    QString spoken;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (labels_[i].second->text() != rows[i].value) labels_[i].second->setText(rows[i].value);
        spoken += rows[i].name + QLatin1Char(' ') + rows[i].value + QStringLiteral(", ");
    }
    setAccessibleDescription(spoken);
}

void ReadoutPanel::rebuild(const std::vector<Row>& rows) {
    while (auto* item = grid_->takeAt(0)) {
        delete item->widget();
        delete item;
    }
    shown_ = rows;
    labels_.clear();
    for (int i = 0; i < static_cast<int>(rows.size()); ++i) {
        const auto& row = rows[static_cast<std::size_t>(i)];
        if (row.trace != noSwatch) grid_->addWidget(new Swatch(row.trace, this), i, 0);
        auto* name = new QLabel(row.name, this);
        auto* value = new QLabel(row.value, this);
        value->setFont(strongFont());
        value->setTextInteractionFlags(Qt::TextSelectableByMouse);
        value->setAccessibleName(row.name);
        // Nothing about them is laid out anew as their text changes.
        value->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
        value->setMinimumWidth(value->fontMetrics().averageCharWidth() * 14);
        value->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Preferred);
        grid_->addWidget(name, i, 1);
        grid_->addWidget(value, i, 2);
        labels_.emplace_back(name, value);
    }
}

}  // namespace beatwitness::app
