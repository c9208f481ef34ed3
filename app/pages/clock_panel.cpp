#include "app/pages/clock_panel.h"

#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>
#include <cmath>

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

QString detailWords(const alignment::Alignment& alignment, analysis::OffsetReason reason) {
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
        parts << (reason == analysis::OffsetReason::SharedClock
                      ? ClockPanel::tr("the clocks share a source: a constant delay is the device's own")
                  : reason == analysis::OffsetReason::SyncEvent
                      ? ClockPanel::tr("from an event marked on both")
                      : ClockPanel::tr("set by hand, so without interval"));
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
      drift_(new QLineEdit(this)),
      driftRow_(new QWidget(this)),
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
    drift_->setObjectName(QStringLiteral("driftEdit"));
    drift_->setAccessibleName(tr("Drift of the test clock in parts per million"));
    drift_->setToolTip(tr("Positive when the test clock runs slow"));
    drift_->setMinimumHeight(28);
    auto* driftLayout = new QHBoxLayout(driftRow_);
    driftLayout->setContentsMargins(0, 0, 0, 0);
    driftLayout->addWidget(new QLabel(tr("Drift, ppm"), driftRow_));
    driftLayout->addWidget(drift_, 1);
    body()->addWidget(offset_);
    body()->addWidget(driftRow_);
    body()->addWidget(type_, 0, Qt::AlignLeft);
    connect(offset_, &OffsetField::offsetTyped, this, &ClockPanel::typeOffset);
    connect(drift_, &QLineEdit::returnPressed, this, [this] {
        const auto& correction = document_.test().alignment.correction;
        typeOffset(correction ? correction->offset : Seconds{});
    });
    connect(curve_, &LossCurveView::offsetTried, this, &ClockPanel::tryOffset);
    connect(curve_, &LossCurveView::offsetChosen, this, [this](Seconds offset) {
        document_.align(alignment::Method::Offset, offset, typedDrift().value_or(Ppm{}));
    });
    connect(type_, &QPushButton::clicked, this, &ClockPanel::askForOffset);
    connect(&document_, &Document::analysisChanged, this, &ClockPanel::refresh);
    connect(&document_, &Document::clockViewChanged, this, &ClockPanel::refresh);
    connect(&document_, &Document::focusTestChanged, this, &ClockPanel::refresh);
}

std::optional<Ppm> ClockPanel::typedDrift() const {
    QString text = drift_->text().trimmed();
    text.replace(QChar(0x2212), QLatin1Char('-')).replace(QLatin1Char(','), QLatin1Char('.'));
    if (text.isEmpty()) return Ppm{};
    bool known = false;
    const double value = text.toDouble(&known);
    // Ten minutes a day; further off no clock is.
    return known && std::abs(value) <= 7000 ? std::optional{Ppm{value}} : std::nullopt;
}

void ClockPanel::typeOffset(Seconds offset) {
    const auto drift = typedDrift();
    if (!drift) {
        emit document_.failed(tr("typed drift"),
                              Fault{FaultCode::WrongUsage,
                                    tr("a drift between -7000 and 7000 ppm was expected").toStdString(),
                                    {},
                                    {},
                                    {}});
        return;
    }
    document_.align(alignment::Method::Offset, offset, *drift);
}

void ClockPanel::tryOffset(std::optional<Seconds> offset) {
    if (!offset || !document_.hasSession()) return emit correctionTried(std::nullopt);
    emit correctionTried(
        alignment::ClockCorrection{document_.analysis()->t0, *offset, typedDrift().value_or(Ppm{})});
}

alignment::Alignment ClockPanel::withCurve() {
    auto shown = document_.test().alignment;
    const auto pair = document_.analysis()->reference.sha256 + document_.test().file.sha256;
    if (!shown.lossCurve.empty())
        curves_[pair] = shown.lossCurve;
    else if (const auto known = curves_.find(pair); known != curves_.end())
        shown.lossCurve = known->second;
    return shown;
}

void ClockPanel::askForOffset() {
    offset_->show();
    driftRow_->show();
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
    driftRow_->setVisible(byHand);
    const double drift = test.alignment.correction ? test.alignment.correction->drift.value : 0.0;
    drift_->setText(QString::number(drift, 'f', 1));
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
    details_->setText(detailWords(alignment, document_.plan().tests[document_.focusTest()].request.reason));
    details_->setVisible(!details_->text().isEmpty());
    refusal_->setVisible(alignment.refusedBecause.has_value());
    if (alignment.refusedBecause)
        refusal_->setText(tr("Not aligned: %1").arg(QString::fromStdString(*alignment.refusedBecause)));
    curve_->setAlignment(withCurve());
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
