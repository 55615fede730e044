// Runs beside the page, where sound arrives: hands every block of the first channel on as it is.
class Listen extends AudioWorkletProcessor {
  process(inputs) {
    const heard = inputs[0]?.[0];
    if (heard) this.port.postMessage(heard.slice());
    return true;
  }
}
registerProcessor('listen', Listen);
