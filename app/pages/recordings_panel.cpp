#include "app/pages/recordings_panel.h"

#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>

#include "app/document/document.h"
#include "app/document/session_words.h"
#include "core/trace/trace.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QString guessWords(const recording::Recording& recording) {
    QStringList guesses;
    for (const auto& [what, value] : recording.guessed)
        guesses << QStringLiteral("%1: %2").arg(QString::fromStdString(what), QString::fromStdString(value));
    return guesses.join(QStringLiteral(", "));
}

}  // namespace

RecordingsPanel::RecordingsPanel(Document& document, QWidget* parent)
    : Section(tr("Recordings"), parent), document_(document) {
    setObjectName(QStringLiteral("recordingsPanel"));
    connect(&document_, &Document::recordingsChanged, this, &RecordingsPanel::refresh);
}

void RecordingsPanel::refresh() {
    delete list_;
    list_ = new QWidget(this);
    auto* column = new QVBoxLayout(list_);
    column->setContentsMargins(0, 0, 0, 0);
    column->setSpacing(2);
    body()->addWidget(list_);
    const auto& plan = document_.plan();
    if (plan.reference) add(tr("reference"), plan.reference);
    for (const auto& test : plan.tests)
        add(tr("test"), test.file);
    for (const auto& context : plan.contexts)
        add(tr("context"), context);
}

void RecordingsPanel::add(const QString& role, const SharedFile& file) {
    auto* column = static_cast<QVBoxLayout*>(list_->layout());
    const auto summary = trace::summarise(file->recording);
    auto* name = makeStrong(tr("%1 (%2)").arg(fileName(*file), role), list_);
    name->setToolTip(QString::fromStdString(file->file));
    column->addWidget(name);
    column->addWidget(makeCaption(recordingFacts(*file, summary), list_));
    const QString guesses = guessWords(file->recording);
    if (!guesses.isEmpty()) column->addWidget(makeCaption(tr("Read as %1").arg(guesses), list_));
    for (const auto& warning : file->recording.warnings)
        column->addWidget(makeBody(tr("Warning: %1").arg(QString::fromStdString(warning)), list_));
    if (holdsTable(*file)) {
        auto* readAs = new QPushButton(tr("Read as …"), list_);
        readAs->setObjectName(QStringLiteral("readAsButton"));
        readAs->setAccessibleName(tr("Read %1 as …").arg(fileName(*file)));
        readAs->setMinimumHeight(readAs->fontMetrics().height() * 9 / 5);
        // Queued: what it does makes this list anew.
        connect(
            readAs, &QPushButton::clicked, this, [this, file] { emit layoutAsked(file); },
            Qt::QueuedConnection);
        column->addWidget(readAs, 0, Qt::AlignLeft);
    }
    column->addSpacing(8);
}

}  // namespace beatwitness::app
