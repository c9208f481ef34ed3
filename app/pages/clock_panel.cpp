#include "app/pages/clock_panel.h"

#include <QGridLayout>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include "app/document/document.h"
#include "app/document/session_words.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/inputs/offset_field.h"
#include "widgets/plots/loss_curve_view.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QLabel* figureLabel(QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    return label;
}

QString detailWords(const alignment::Alignment& alignment) {
    QStringList parts;
    if (alignment.offsetInterval_s)
        parts << ClockPanel::tr("95 % interval %1 to %2 s")
                     .arg(signedText(alignment.offsetInterval_s->lower, 2),
                          signedText(alignment.offsetInterval_s->upper, 2));
    if (alignment.correction && alignment.correction->drift.value != 0.0)
        parts << ClockPanel::tr("drift %1").arg(driftText(alignment));
    if (alignment.confidence)
        parts << ClockPanel::tr("confidence %1").arg(percentText(Percent{*alignment.confidence * 100.0}, 0));
    if (alignment.method == alignment::Method::Offset)
        parts << ClockPanel::tr("typed by hand, so without interval");
    if (alignment.method == alignment::Method::None) parts << ClockPanel::tr("no alignment was asked for");
    return parts.join(QStringLiteral(" · "));
}

}  // namespace

ClockPanel::ClockPanel(Document& document, QWidget* parent)
    : Section(tr("Clock"), parent),
      document_(document),
      estimate_(makeHeading({}, this)),
      details_(makeCaption({}, this)),
      refusal_(makeBody({}, this)),
      curve_(new LossCurveView(this)),
      recordedError_(figureLabel(this)),
      alignedError_(figureLabel(this)),
      recordedName_(new QLabel(tr("as recorded"), this)),
      alignedName_(new QLabel(tr("aligned"), this)),
      offset_(new OffsetField(this)),
      type_(new QPushButton(tr("Type an offset …"), this)) {
    setObjectName(QStringLiteral("clockPanel"));
    refusal_->setObjectName(QStringLiteral("refusal"));
    estimate_->setObjectName(QStringLiteral("estimate"));
    auto* errors = new QGridLayout;
    errors->setColumnStretch(1, 1);
    errors->addWidget(recordedName_, 0, 0);
    errors->addWidget(recordedError_, 0, 1);
    errors->addWidget(alignedName_, 1, 0);
    errors->addWidget(alignedError_, 1, 1);
    type_->setMinimumHeight(28);
    for (auto* widget : std::initializer_list<QWidget*>{estimate_, details_, refusal_, curve_})
        body()->addWidget(widget);
    body()->addLayout(errors);
    body()->addWidget(offset_);
    body()->addWidget(type_, 0, Qt::AlignLeft);
    connect(offset_, &OffsetField::offsetTyped, this,
            [this](Seconds offset) { document_.align(alignment::Method::Offset, offset); });
    connect(type_, &QPushButton::clicked, this, &ClockPanel::askForOffset);
    connect(&document_, &Document::analysisChanged, this, &ClockPanel::refresh);
    connect(&document_, &Document::clockViewChanged, this, &ClockPanel::refresh);
    connect(&document_, &Document::focusTestChanged, this, &ClockPanel::refresh);
}

void ClockPanel::askForOffset() {
    offset_->show();
    type_->hide();
    offset_->takeFocus();
}

void ClockPanel::refresh() {
    if (!document_.hasSession()) return;
    const auto& test = document_.test();
    setState(clockState(test, document_.showsAligned()));
    showEstimate();
    showErrors();
    const bool byHand = test.alignment.refusedBecause || test.alignment.method == alignment::Method::Offset;
    offset_->setVisible(byHand);
    type_->setVisible(!byHand);
    offset_->setOffset(test.alignment.correction ? std::optional{test.alignment.correction->offset}
                                                 : std::nullopt);
}

void ClockPanel::showEstimate() {
    const auto& alignment = document_.test().alignment;
    const QString name = testName(*document_.analysis(), static_cast<int>(document_.focusTest()));
    estimate_->setText(alignment.correction
                           ? tr("%1 %2").arg(name, signedText(alignment.correction->offset.value, 2) +
                                                       QChar(0x00A0) + QLatin1Char('s'))
                           : tr("%1 as recorded").arg(name));
    details_->setText(detailWords(alignment));
    details_->setVisible(!details_->text().isEmpty());
    refusal_->setVisible(alignment.refusedBecause.has_value());
    if (alignment.refusedBecause)
        refusal_->setText(tr("Not aligned: %1").arg(QString::fromStdString(*alignment.refusedBecause)));
    curve_->setAlignment(alignment);
    curve_->setVisible(curve_->hasCurve());
}

void ClockPanel::showErrors() {
    const auto& test = document_.test();
    const bool aligned = document_.showsAligned();
    recordedError_->setText(tr("MAE %1").arg(spreadText(test.asRecorded.agreement.mae, 2)));
    if (test.aligned) alignedError_->setText(tr("MAE %1").arg(spreadText(test.aligned->agreement.mae, 2)));
    alignedError_->setVisible(test.aligned.has_value());
    alignedName_->setVisible(test.aligned.has_value());
    for (auto* label : {recordedName_, recordedError_})
        label->setFont(aligned ? font() : strongFont());
    for (auto* label : {alignedName_, alignedError_})
        label->setFont(aligned ? strongFont() : font());
}

}  // namespace beatwitness::app
