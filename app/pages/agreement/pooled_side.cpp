#include "app/pages/agreement/pooled_side.h"

#include <QClipboard>
#include <QGuiApplication>
#include <QHeaderView>
#include <QKeyEvent>
#include <QScrollBar>
#include <QTableView>
#include <QTransposeProxyModel>
#include <QVBoxLayout>
#include <algorithm>

#include "core/report/agreement_summary.h"
#include "core/report/cautions.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/section.h"
#include "widgets/models/group_table_model.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

/// Below this many sessions an interval rests on very few.
constexpr std::size_t fewSessions = 5;

QString fromCore(std::string_view text) {
    return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
}

QString labelOf(const evaluation::AgreementGroup& group) {
    QStringList labels;
    for (const auto& [key, label] : group.by)
        labels << (label.empty() ? PooledSide::tr("not recorded") : QString::fromStdString(label));
    return labels.join(QStringLiteral(", "));
}

QString limitText(const agreement::Limit& limit) {
    if (!limit.ci95) return signedText(limit.value, 1);
    return PooledSide::tr("%1 (%2 to %3)")
        .arg(signedText(limit.value, 1), signedText(limit.ci95->lower, 1), signedText(limit.ci95->upper, 1));
}

QString criterionText(const agreement::CriterionResult& result) {
    const auto& facts = agreement::factsOf(result.criterion.metric);
    return PooledSide::tr("%1 %2 %3 %4")
        .arg(fromCore(facts.name), fromCore(agreement::senseName(result.criterion.sense)),
             numberText(result.criterion.limit, 1), fromCore(facts.unit));
}

QString verdictText(const evaluation::AgreementGroup& group, const agreement::CriterionResult& result) {
    QString text = PooledSide::tr("%1, %2: <b>%3</b>")
                       .arg(labelOf(group).toHtmlEscaped(), criterionText(result).toHtmlEscaped(),
                            fromCore(agreement::verdictName(result.verdict)));
    if (result.verdict == agreement::Verdict::CannotTellYet && result.unitsNeeded)
        text +=
            PooledSide::tr(" · about %1 more %2").arg(countText(*result.unitsNeeded), fromCore(result.unit));
    if (result.beforeData)
        text += *result.beforeData ? PooledSide::tr(" · set before any data")
                                   : PooledSide::tr(" · set when data was there already");
    return text;
}

/// What one group comes to; criteria stand with the verdicts.
QString paragraph(const evaluation::AgreementGroup& group) {
    auto plain = group;
    plain.criteria.clear();
    QStringList sentences;
    for (const auto& sentence : report::agreementSummary(plain))
        sentences << QString::fromStdString(sentence);
    QString text = sentences.join(QLatin1Char(' '));
    if (!text.isEmpty()) text[0] = text[0].toUpper();
    return text;
}

QLabel* quiet(QWidget* parent) {
    auto* label = makeBody({}, parent);
    label->setTextFormat(Qt::PlainText);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    return label;
}

}  // namespace

PooledSide::PooledSide(QWidget* parent) : QWidget(parent) {
    auto* box = new QuietBox(QPalette::Button, this);
    words_ = quiet(box);
    words_->setObjectName(QStringLiteral("pooledWords"));
    auto* inBox = new QVBoxLayout(box);
    inBox->setContentsMargins(14, 10, 14, 12);
    inBox->addWidget(makeStrong(tr("In plain words"), box));
    inBox->addWidget(words_);
    numbersPart_ = new Section(tr("Numbers"), this);
    numbersPart_->setState(tr("Ctrl+C copies"));
    makeNumbers();
    auto* meaningPart = new Section(tr("What it means"), this);
    meaning_ = quiet(meaningPart);
    meaning_->setObjectName(QStringLiteral("meaning"));
    meaningPart->body()->addWidget(meaning_);
    limitsPart_ = new Section(tr("Limits of agreement"), this);
    limits_ = quiet(limitsPart_);
    limits_->setObjectName(QStringLiteral("limitWords"));
    limitsPart_->body()->addWidget(limits_);
    verdictPart_ = new Section(tr("Verdicts"), this);
    verdicts_ = quiet(verdictPart_);
    verdicts_->setTextFormat(Qt::RichText);
    verdicts_->setObjectName(QStringLiteral("verdicts"));
    verdictPart_->body()->addWidget(verdicts_);
    auto* cautionPart = new Section(tr("Cautions"), this);
    cautions_ = quiet(cautionPart);
    cautionPart->body()->addWidget(cautions_);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(12);
    for (auto* part : std::initializer_list<QWidget*>{box, verdictPart_, numbersPart_, meaningPart,
                                                      limitsPart_, cautionPart})
        column->addWidget(part);
    setMeaning({});
}

void PooledSide::makeNumbers() {
    model_ = new GroupTableModel(this);
    upright_ = new QTransposeProxyModel(this);
    upright_->setSourceModel(model_);
    numbers_ = new QTableView(numbersPart_);
    numbers_->setObjectName(QStringLiteral("pooledNumbers"));
    numbers_->setAccessibleName(tr("Pooled agreement"));
    numbers_->setModel(upright_);
    numbers_->setShowGrid(false);
    numbers_->setFrameShape(QFrame::NoFrame);
    numbers_->setStyleSheet(QStringLiteral(
        "QHeaderView, QHeaderView::section { background: palette(window); border: none; padding: 0 4px; }"
        "QTableCornerButton::section { background: palette(window); border: none; }"
        "QTableView { background: palette(window); }"));
    numbers_->setCornerButtonEnabled(false);
    numbers_->setTabKeyNavigation(false);
    numbers_->setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    numbers_->setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    numbers_->horizontalHeader()->setSectionsClickable(false);
    numbers_->horizontalHeader()->setHighlightSections(false);
    numbers_->horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    numbers_->horizontalHeader()->setDefaultAlignment(Qt::AlignRight | Qt::AlignVCenter);
    numbers_->verticalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    numbers_->verticalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    numbers_->verticalHeader()->setHighlightSections(false);
    numbers_->installEventFilter(this);
    numbersPart_->body()->addWidget(numbers_);
    connect(numbers_->selectionModel(), &QItemSelectionModel::currentChanged, this,
            [this](const QModelIndex& current) {
                setMeaning(model_->meaningOf(upright_->mapToSource(current)));
            });
}

bool PooledSide::eventFilter(QObject* watched, QEvent* event) {
    if (watched == numbers_ && event->type() == QEvent::KeyPress &&
        static_cast<QKeyEvent*>(event)->matches(QKeySequence::Copy)) {
        QGuiApplication::clipboard()->setText(asText());
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

QString PooledSide::asText() const {
    return model_->tabSeparated();
}

void PooledSide::setMeaning(const QString& text) {
    meaning_->setText(text.isEmpty()
                          ? tr("Choose a number in a table: its definition, formula and source, and "
                               "how its interval was made, stand here.")
                          : text);
}

void PooledSide::setView(const report::AgreementView& view, bool sessionWeighted) {
    QStringList words;
    for (const auto& group : view.devices)
        words << paragraph(group);
    // With one device in sight there is room for its activities, too.
    if (view.devices.size() == 1)
        for (const auto& group : view.activities)
            words << paragraph(group);
    if (!view.nothing.empty()) words << QString::fromStdString(view.nothing);
    for (const auto& floor : view.floor)
        if (floor.timeWeighted.mae.value)
            words << tr("Two references in one session are %1 bpm apart on average: no device can be told to "
                        "be "
                        "closer than that.")
                         .arg(numberText(floor.timeWeighted.mae.value, 1));
    if (view.sessions > 1 && view.sessions < fewSessions)
        words << tr("These are very few sessions: intervals are wide, and one more session can move them.");
    words_->setText(words.join(QStringLiteral("\n\n")));
    auto groups = view.devices;
    if (groups.size() == 1) groups.insert(groups.end(), view.activities.begin(), view.activities.end());
    numbersPart_->setVisible(!groups.empty());
    model_->setGroups(std::move(groups), sessionWeighted, false);
    fit();
    showVerdicts(view);
    showLimits(view);
    QStringList cautions{fromCore(report::projectCautionLine())};
    if (view.failedAttempts > 0)
        cautions << (view.failedAttempts == 1
                         ? tr("One attempt left no recording.")
                         : tr("%1 attempts left no recording.").arg(view.failedAttempts));
    cautions_->setText(cautions.join(QLatin1Char(' ')));
}

void PooledSide::showVerdicts(const report::AgreementView& view) {
    QStringList lines;
    for (const auto* groups : {&view.devices, &view.activities})
        for (const auto& group : *groups)
            for (const auto& result : group.criteria)
                // A criterion on one activity is judged there, one on all of them over all.
                if (result.criterion.activity.empty() == (groups == &view.devices) || view.activities.empty())
                    lines << verdictText(group, result);
    verdicts_->setText(lines.isEmpty()
                           ? tr("This project has no criteria. What is required of a device is best "
                                "written down before the first session.")
                           : lines.join(QStringLiteral("<br>")));
}

void PooledSide::showLimits(const report::AgreementView& view) {
    QStringList lines;
    for (const auto& group : view.devices) {
        const auto* limits = group.limits.chosen();
        if (!limits) continue;
        lines << tr("%1: %2 to %3 bpm. Shown: %4.")
                     .arg(labelOf(group), limitText(limits->lower), limitText(limits->upper),
                          QString::fromStdString(group.limits.because));
        if (group.limits.percentiles)
            lines << tr("Empirical 2.5th and 97.5th percentiles: %1 and %2 bpm.")
                         .arg(signedText(group.limits.percentiles->lower.value, 1),
                              signedText(group.limits.percentiles->upper.value, 1));
    }
    limitsPart_->setVisible(!lines.isEmpty());
    limits_->setText(lines.join(QLatin1Char('\n')));
}

void PooledSide::fit() {
    // Two devices share the width there is; more of them scroll.
    numbers_->horizontalHeader()->setSectionResizeMode(
        upright_->columnCount() <= 2 ? QHeaderView::Stretch : QHeaderView::ResizeToContents);
    numbers_->resizeRowsToContents();
    numbers_->setFixedHeight(numbers_->verticalHeader()->length() +
                             numbers_->horizontalHeader()->sizeHint().height() +
                             numbers_->horizontalScrollBar()->sizeHint().height() + 4);
}

}  // namespace beatwitness::app
